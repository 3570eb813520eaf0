//! Days and times as the painter reads them.

// Made once: a web view takes as long to make one as to write a hundred days with it.
const DAY = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
const MOMENT = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric', hour: '2-digit', minute: '2-digit' });

/** Year-month-day where the painter is. */
export function today(now = new Date()): string {
  const two = (part: number) => String(part).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** A day in words; whatever is no year-month-day stays as she wrote it. */
export function dayWords(day: string): string {
  const [, year, month, date] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(day) ?? [];
  if (!year || !month || !date) return day;
  const at = new Date(Number(year), Number(month) - 1, Number(date));
  if (at.getMonth() !== Number(month) - 1) return day;
  return DAY.format(at);
}

/** A moment, by milliseconds since 1970. */
export function momentWords(milliseconds: number): string {
  return MOMENT.format(milliseconds);
}
