//! What hues are called.

import type { HueName } from '../wire/generated';

export const HUES: Record<HueName, string> = {
  red: 'red',
  orange: 'orange',
  yellow: 'yellow',
  yellowGreen: 'yellow green',
  green: 'green',
  blueGreen: 'blue green',
  blue: 'blue',
  violetBlue: 'violet blue',
  violet: 'violet',
  rose: 'rose',
};
