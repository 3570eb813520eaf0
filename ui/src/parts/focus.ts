/** An attachment: takes the focus when its element comes, and gives it back when it goes. */
export function takeFocus(element: HTMLElement): () => void {
  const before = document.activeElement;
  element.focus({ preventScroll: true });
  return () => {
    if (before instanceof HTMLElement && before.isConnected) before.focus({ preventScroll: true });
  };
}
