//! Keeps the screen awake where the platform lets a page do that.

/** Asks for it; the answer gives it up again. A platform that doesn't know it, or refuses, goes on as ever. */
export function stayAwake(lock: Pick<WakeLock, 'request'> | undefined = globalThis.navigator?.wakeLock): () => void {
  let given: WakeLockSentinel | null = null;
  let over = false;
  const release = () => void given?.release().catch(() => undefined);
  lock
    ?.request('screen')
    .then((sentinel) => {
      given = sentinel;
      if (over) release();
    })
    .catch(() => undefined);
  return () => {
    over = true;
    release();
  };
}
