//! What follows from what is tapped: readings are asked for, and said once they stand.

import { untrack } from 'svelte';
import { type Check, labelOf } from './check.svelte';
import { spokenReading, unreadWords, verdictWords } from './words';

/** A spot that has not moved for this long is spoken of: a drag would else be a babble. */
const SAID_AFTER_MS = 200;

/** Sets readings and announcements going; to be called while a component is set up. */
export function followPins(check: Check): void {
  const { photo, bands, photoPins: pins, photoMeasures: measures } = check;

  $effect(() => {
    if (!photo.info || !bands.info || check.camera.isOpen) return;
    measures.follow({ id: photo.info.id, edges: bands.info.edges }, pins.all, pins.pair);
  });

  $effect(() => {
    if (check.camera.isOpen) return;
    const [first, second] = pins.pair ?? [];
    const latest = pins.latest;
    const reading = latest && measures.readings.get(latest.letter);
    const unread = latest && measures.unread.get(latest.letter);
    if (!latest || (!reading && !unread)) return;
    const verdict = first && second && measures.difference ? ` ${verdictWords(measures.difference, labelOf(first), labelOf(second))}.` : '';
    const words = reading ? spokenReading(labelOf(latest), reading, check.number) + verdict : `${labelOf(latest)}: ${unread ? unreadWords(unread) : ''}`;
    const timer = setTimeout(() => (check.said = words), SAID_AFTER_MS);
    return () => clearTimeout(timer);
  });

  // The camera's readings never rest: one is said once it has settled, and not again until its pin moves.
  const { live, livePins } = check;
  const settled = $derived.by(() => {
    const latest = check.camera.isOpen ? livePins.latest : null;
    return latest && live.steadiness.get(latest.letter)?.settled ? latest : null;
  });
  $effect(() => {
    const reading = settled && untrack(() => live.readings.get(settled.letter));
    if (settled && reading) check.said = spokenReading(labelOf(settled), reading, check.number);
  });
}
