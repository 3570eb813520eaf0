//! What the picture is looked at as.

import { Switcher } from './switcher';

export type ViewName = 'colour' | 'lightness' | 'bands';
export type SquintName = 'slight' | 'half' | 'nearly';

export const VIEWS: readonly ViewName[] = ['colour', 'lightness', 'bands'];
export const SQUINTS: readonly SquintName[] = ['slight', 'half', 'nearly'];

export class Look {
  #view = $state<ViewName>('colour');
  /** Bands as flat greys, or as outlines over the colour. */
  outlined = $state(false);
  squint = $state<SquintName | null>(null);

  /** What comes back when the view that is held is let go; null where none is peeked at. */
  peekedFrom = $state<ViewName | null>(null);

  /** Taps, keys and peeks go through this. */
  readonly switcher = new Switcher<ViewName>(
    'colour',
    (view) => (this.#view = view),
    (before) => (this.peekedFrom = before),
  );

  get view(): ViewName {
    return this.#view;
  }

  /** The view as the shell and the shader know it. */
  get drawn(): ViewName | 'outlines' {
    return this.#view === 'bands' && this.outlined ? 'outlines' : this.#view;
  }
}
