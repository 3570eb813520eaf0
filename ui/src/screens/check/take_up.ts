//! Takes up again how the picture was looked at, and what stood on it when the system ended the app.

import { type Kept, keptBefore } from '../../state/kept';
import type { Check } from './check.svelte';

/** View, squint and bands are as they were last; the answer says what was open, for its pins to be taken up with it. */
export function takeUp(check: Check): Kept | null {
  const kept = keptBefore();
  if (!kept) return null;
  check.look.switcher.choose(kept.view);
  check.look.outlined = kept.outlined;
  check.look.squint = kept.squint;
  check.bands.setting = kept.setting;
  return kept.where === 'camera' ? kept : null;
}
