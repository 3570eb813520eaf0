import { expect, test } from 'vitest';
import { photosWords } from './deleted';

test('the photos that leave are counted, with the room that they take', () => {
  expect(photosWords(1, 19)).toBe('1 photo (less than 0.1 MB) belongs to nothing else. It leaves the disk after 30 days on which you used this program.');
  expect(photosWords(2, 8_340_000)).toBe('2 photos (8.3 MB) belong to nothing else. They leave the disk after 30 days on which you used this program.');
});
