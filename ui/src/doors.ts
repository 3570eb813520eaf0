//! The ways out of the page that a web view has of its own: keys and a menu that load it anew or go back.

/** Shuts them. */
export function shutDoors(page: Window): void {
  page.addEventListener('keydown', (event) => isWayOut(event) && event.preventDefault(), { capture: true });
  page.addEventListener('contextmenu', (event) => !isText(event.target) && event.preventDefault());
}

/** Whether a key would load the page anew, go back or forward. */
export function isWayOut({ key, ctrlKey, metaKey, altKey }: Pick<KeyboardEvent, 'key' | 'ctrlKey' | 'metaKey' | 'altKey'>): boolean {
  const command = ctrlKey || metaKey;
  switch (key.toLowerCase()) {
    case 'f5':
    case 'browserback':
    case 'browserforward':
    case 'browserhome':
    case 'browserrefresh':
      return true;
    case 'r':
    case '[':
    case ']':
      return command;
    case 'arrowleft':
    case 'arrowright':
      return altKey || metaKey;
    case 'home':
      return altKey;
    default:
      return false;
  }
}

/** Where a menu helps to cut and paste. */
function isText(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest('input, textarea, [contenteditable]') !== null;
}
