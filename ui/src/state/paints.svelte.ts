//! The paints, as every screen knows them.

import type { PaintInfo } from '../wire/generated';
import * as wire from '../wire/paints';
import type { Dab } from './settings.svelte';

/** What a test dab is meant for: a paint, how many steps its strip has, and one of them. */
export type Meant = { paint: PaintInfo; steps: number; step: number };

export class PaintBox {
  /** In the order in which they were begun; null until they were asked for. */
  all = $state.raw<readonly PaintInfo[] | null>(null);

  async refresh(): Promise<void> {
    this.all = await wire.listPaints();
  }

  find(id: number | null): PaintInfo | null {
    return this.all?.find((paint) => paint.id === id) ?? null;
  }

  /** What a dab was meant for last, as far as that is still there. */
  meant({ paint: uuid, step }: Dab): Meant | null {
    const paint = this.all?.find((paint) => paint.uuid === uuid);
    const steps = paint?.curve?.steps.length ?? 0;
    return paint && steps > 0 ? { paint, steps, step: Math.min(Math.max(step, 1), steps) } : null;
  }

  /** Those of which a strip was measured. */
  get painted(): readonly PaintInfo[] {
    return (this.all ?? []).filter((paint) => paint.curve !== null);
  }
}
