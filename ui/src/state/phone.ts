/** Whether this is a phone or a tablet: its own picker is reached through the page, and its camera can't be plugged in. */
export const PHONE = /Android|iPhone|iPad/.test(globalThis.navigator?.userAgent ?? '');
