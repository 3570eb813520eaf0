//! The paints, as every screen knows them.

import type { PaintInfo } from '../wire/generated';
import * as wire from '../wire/paints';

export class PaintBox {
  /** In the order in which they were begun; null until they were asked for. */
  all = $state.raw<readonly PaintInfo[] | null>(null);

  async refresh(): Promise<void> {
    this.all = await wire.listPaints();
  }

  find(id: number | null): PaintInfo | null {
    return this.all?.find((paint) => paint.id === id) ?? null;
  }

  /** Those of which a strip was measured. */
  get painted(): readonly PaintInfo[] {
    return (this.all ?? []).filter((paint) => paint.curve !== null);
  }
}
