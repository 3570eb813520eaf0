//! What stands on the screen, as it is kept, and back.

import type { OpenedSnapshot, Shown } from '../../wire/generated';
import type { Check } from './check.svelte';
import { warningWords } from './words';

/** View, bands, frame, pins and light of the photo. Readings are the shell's to take. */
export function shownOf(check: Check): Shown {
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
export function restore(check: Check, { photo, shown, bands }: OpenedSnapshot): void {
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
