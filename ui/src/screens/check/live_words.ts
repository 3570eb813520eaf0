//! What the camera's states are called.

import type { LiveInfo } from '../../wire/generated';
import type { Why } from '../../state/camera.svelte';
import type { Steadiness } from '../../state/live.svelte';

export const CAUTION = 'Never aim the camera at the sun, nor look at the sun, nor through glass at it.';

/** What happened, and what to do; a phone's camera can't be plugged in. */
export function whyWords(why: Why, phone: boolean): { what: string; todo: string } {
  if (phone && why === 'none') return { what: 'No camera was found', todo: 'If this device has one, close other apps and try again, or open a picture.' };
  if (phone && why === 'unplugged') return { what: 'The camera was taken away', todo: 'Close the app that uses it and try again, or open a picture.' };
  switch (why) {
    case 'none':
      return { what: 'No camera was found', todo: 'Plug one in and try again, or open a picture.' };
    case 'refused':
      return { what: 'The camera may not be used', todo: 'Allow it in the settings of the system for this app and try again, or open a picture.' };
    case 'held':
      return { what: 'Another program holds the camera', todo: 'Close that program and try again, or open a picture.' };
    case 'unplugged':
      return { what: 'The camera was unplugged or taken away', todo: 'Plug it in and try again, or open a picture.' };
    case 'graphics':
      return { what: 'The graphics here can’t show a moving picture', todo: 'Take a photograph or open a picture: stills work without them.' };
    case 'away':
      return { what: 'The camera was turned off while the window was out of sight', todo: 'Open it again when you are ready.' };
    case 'other':
      return { what: 'The camera could not be opened', todo: 'Try again, or open a picture.' };
  }
}

/** L* from which nobody would call a reading steady: the eye's just noticeable step. */
const UNSTEADY = 2;

/** How steady a reading was from frame to frame. */
export function steadyWords({ unsteadiness, settled }: Steadiness): string {
  if (!settled) return 'settling';
  if (unsteadiness < 0.05) return 'steady';
  return unsteadiness < UNSTEADY ? `steady to ${unsteadiness.toFixed(1)}` : `varies by ${Math.round(unsteadiness)}`;
}

/** What is to be told of the light; the gravest first. */
export function lightNotes(info: LiveInfo | null): string[] {
  if (!info) return [];
  const notes: string[] = [];
  if (info.glaring) notes.push(`A large part of the picture is blown out. ${CAUTION}`);
  if (info.refused) notes.push(sentence(info.refused));
  if (info.paper?.sight === 'lost') notes.push('The paper is out of sight: readings are the camera’s own tone. Bring it back, or tap it again.');
  if (info.paper?.sight === 'clipped') notes.push('The paper is blown out: readings are the camera’s own tone. Give the paper less light, or aim at something lighter.');
  if (info.paper?.drifted && info.against === 'paper') {
    const { drift } = info.paper;
    notes.push(`The camera has made its picture ${drift > 0 ? 'lighter' : 'darker'} by ${Math.abs(drift).toFixed(1)} stops since; readings are held to the paper.`);
  }
  return notes;
}

/** The name of a frame that was held. */
export function heldName(at: Date): string {
  const two = (number: number) => String(number).padStart(2, '0');
  return `From the camera, ${two(at.getHours())}:${two(at.getMinutes())}`;
}

function sentence(clause: string): string {
  return `${clause.charAt(0).toUpperCase()}${clause.slice(1)}.`;
}
