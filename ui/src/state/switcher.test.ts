import { expect, it } from 'vitest';
import { type Clock, Switcher } from './switcher';

/** A clock that is set by hand. */
class Hand implements Clock {
  time = 0;
  #calls: { at: number; call: () => void }[] = [];
  now = () => this.time;
  after = (ms: number, call: () => void) => void this.#calls.push({ at: this.time + ms, call });

  to(time: number): void {
    for (;;) {
      const next = this.#calls.filter(({ at }) => at <= time).sort((a, b) => a.at - b.at)[0];
      if (!next) break;
      this.#calls = this.#calls.filter((call) => call !== next);
      this.time = next.at;
      next.call();
    }
    this.time = time;
  }
}

function watched(): { clock: Hand; shown: [number, string][]; peeks: (string | null)[]; switcher: Switcher<string> } {
  const clock = new Hand();
  const shown: [number, string][] = [];
  const peeks: (string | null)[] = [];
  const switcher = new Switcher<string>('colour', (view) => void shown.push([clock.time, view]), (before) => void peeks.push(before), clock);
  return { clock, shown, peeks, switcher };
}

it('stays after a tap', () => {
  const { clock, shown, switcher } = watched();
  switcher.press('bands');
  clock.to(80);
  switcher.release('bands');
  clock.to(5000);
  expect(shown).toEqual([[0, 'bands']]);
});

it('stays after a slow tap', () => {
  const { clock, shown, peeks, switcher } = watched();
  switcher.press('bands');
  clock.to(600);
  switcher.release('bands');
  clock.to(5000);
  expect(shown).toEqual([[0, 'bands']]);
  expect(peeks).toEqual([null]);
});

it('goes back after a peek, and says so while it is held', () => {
  const { clock, shown, peeks, switcher } = watched();
  switcher.press('lightness');
  clock.to(900);
  expect(peeks).toEqual(['colour']);
  switcher.release('lightness');
  expect(peeks).toEqual(['colour', null]);
  expect(shown).toEqual([
    [0, 'lightness'],
    [900, 'colour'],
  ]);
});

it('takes the repeats of a held key for one press', () => {
  const { clock, shown, switcher } = watched();
  for (let time = 0; time <= 900; time += 30) {
    clock.to(time);
    switcher.press('bands');
  }
  switcher.release('bands');
  expect(shown.map(([, view]) => view)).toEqual(['bands', 'colour']);
});

/** WCAG 2.2, success criterion 2.3.1: not more than three flashes in any period of one second. */
it('never changes more than three times in any second, and ends on what was wanted last', () => {
  const { clock, shown, switcher } = watched();
  const views = ['lightness', 'bands', 'colour'];
  for (let tap = 0; tap < 60; tap++) {
    clock.to(50 * tap);
    switcher.choose(views[tap % 3] ?? 'colour');
  }
  switcher.choose('bands');
  clock.to(10_000);
  for (const [from] of shown) {
    expect(shown.filter(([at]) => at >= from && at < from + 1000).length).toBeLessThanOrEqual(3);
  }
  expect(shown.at(-1)?.[1]).toBe('bands');
});
