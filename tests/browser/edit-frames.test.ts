import { expect, test } from 'vitest';
import { editFrames } from '../bench/edit-frames.ts';

test('dragging among 5,000 joints keeps to the screen’s 60 frames a second', async () => {
  const { drag, pan } = await editFrames(5000);
  // A frame at 60 Hz lasts 16.7 ms; a missed one 33.3 ms.
  expect(drag.medianMs).toBeLessThan(20);
  expect(pan.medianMs).toBeLessThan(20);
  expect(drag.frames).toBeGreaterThan(100);
}, 60_000);
