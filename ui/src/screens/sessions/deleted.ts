//! Words about what was deleted.

/** Photos that leave with what was deleted, and the room that they take. */
export function photosWords(photos: number, bytes: number): string {
  const [what, leave] = photos === 1 ? ['1 photo', 'It leaves'] : [`${photos} photos`, 'They leave'];
  const size = bytes < 100_000 ? 'less than 0.1' : (bytes / 1_000_000).toFixed(1);
  return `${what} (${size} MB) belong${photos === 1 ? 's' : ''} to nothing else. ${leave} the disk after 30 days on which you used this program.`;
}
