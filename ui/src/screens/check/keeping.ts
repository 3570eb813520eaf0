//! Keeps what stands on the screen, and sets the screen as it was kept.

import { sessionName } from '../../state/sessions';
import type { OpenedSnapshot, OpenedStrip, Shown } from '../../wire/generated';
import * as paints from '../../wire/paints';
import * as wire from '../../wire/studio';
import type { Check } from './check.svelte';
import { warningWords } from './words';

/** What is said where nothing could be kept. */
const WAITS = 'Not kept yet: it waits in memory.';

/** Keeps what the front sheet is about: a strip on the sheet of strips, else what is on the screen. */
export function keepShown(check: Check): void {
  if (check.camera.isOpen || check.keeping) return;
  if (check.sheet === 'strips') void keepStrip(check);
  else void keep(check);
}

/** Keeps what is on the screen, with one tap. The same is kept once, until it is taken back. */
async function keep(check: Check): Promise<void> {
  const photo = check.photo.info;
  if (!photo) return;
  const ask = { photo: photo.id, title: '', note: '', shown: shownOf(check) };
  const same = JSON.stringify(ask);
  if (check.keptLast?.ask === same) {
    check.kept = check.keptLast.kept;
    check.said = `Already kept in ${sessionName(check.kept.session)}`;
    return;
  }
  check.keeping = true;
  check.kept = null;
  try {
    check.kept = await check.studio.keep(ask);
    check.keptLast = check.kept && { ask: same, kept: check.kept };
    check.said = check.kept ? `Kept in ${sessionName(check.kept.session)}` : WAITS;
  } catch (thrown) {
    check.fail(thrown);
  } finally {
    check.keeping = false;
  }
}

/** Keeps the strip that is shown as one of the paint that bears its name. */
async function keepStrip(check: Check): Promise<void> {
  const { strips, studio } = check;
  const ask = strips.ask();
  if (!ask) {
    strips.nameIsMissing = strips.strip !== null;
    return;
  }
  check.keeping = true;
  try {
    const kept = await studio.keepStrip(ask);
    strips.took(kept);
    check.said = strips.told ?? WAITS;
    if (kept) await check.paints.refresh();
  } catch (thrown) {
    check.fail(thrown);
  } finally {
    check.keeping = false;
  }
}

/** Opens the picture of a strip that is kept, as it stood when it was read, with its swatches marked; whether it is open. */
export async function openStrip(check: Check, id: number, name: string): Promise<boolean> {
  let opened = null as OpenedStrip | null;
  check.sheet = null;
  try {
    const info = await check.photo.open(name, async (job) => (opened = await paints.openStrip(id, job)).photo);
    if (!info || !opened) return false;
    check.show(info, []);
    await check.setBands(check.bands.own);
    await check.strips.show(opened);
    check.toggle('strips');
    check.said = `${name} stands as it was kept.`;
    return true;
  } catch (thrown) {
    check.fail(thrown);
    return false;
  }
}

/** Opens a snapshot as it stood when it was kept; whether it is open. */
export async function openSnapshot(check: Check, id: number, name: string): Promise<boolean> {
  let opened = null as OpenedSnapshot | null;
  check.sheet = null;
  try {
    const info = await check.photo.open(name, async (job) => (opened = await wire.openSnapshot(id, job)).photo);
    if (!info || !opened) return false;
    check.show(info, []);
    restore(check, opened);
    check.said = `${name} stands as it was kept.`;
    return true;
  } catch (thrown) {
    check.fail(thrown);
    return false;
  }
}

/** View, bands, frame, pins and light of the photo. Readings are the shell's to take. */
function shownOf(check: Check): Shown {
  const { look, bands, frame, light, photoPins, photoMeasures } = check;
  const pins = photoPins.all.map(({ letter, name, x, y, radius }) => {
    const warnings = photoMeasures.readings.get(letter)?.warnings ?? [];
    // In the numbers that records have, whichever way round she counts.
    return { letter, name, spot: { x, y, radius }, warnings: warnings.map((warning) => warningWords(warning, (band) => band)) };
  });
  return {
    view: look.drawn,
    squint: look.squint,
    bands: bands.setting,
    frame: frame.corners,
    pins,
    patches: light.patches.map(({ name, ...patch }) => ({ name, patch })),
    circumstances: light.circumstances,
  };
}

/** Sets the screen as it was when a snapshot was kept; its photo is open, in its light. */
function restore(check: Check, { photo, shown, bands }: OpenedSnapshot): void {
  const { look } = check;
  look.switcher.choose(shown.view === 'outlines' ? 'bands' : shown.view);
  look.outlined = shown.view === 'outlines';
  look.squint = shown.squint;
  check.frame.corners = shown.frame;
  check.light.patches = shown.patches.map(({ name, patch }) => ({ ...patch, name }));
  check.light.circumstances = shown.circumstances;
  check.bands.restore(shown.bands, bands);
  check.photoPins.restart(shown.pins.map(({ letter, name, spot }) => ({ letter, name, ...spot })));
  check.viewport.show(photo);
}
