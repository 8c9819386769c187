import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { LINEAR_FROM_SRGB } from '../../src/vision/raster.ts';

const css = readFileSync(new URL('../../src/ui/look/tokens.css', import.meta.url), 'utf8');

function tokensOf(block: string): ReadonlyMap<string, string> {
  return new Map(
    [...block.matchAll(/--([\w-]+):\s*(#[\da-f]{6});/gu)].map(([, name, color]) => [name!, color!]),
  );
}

const [lightBlock, darkBlock] = css.split('@media (prefers-color-scheme: dark)');
const LIGHT = tokensOf(lightBlock!);
const DARK = new Map([...LIGHT, ...tokensOf(darkBlock!)]);

/** Relative luminance and contrast ratio as WCAG 2.2 defines them. */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => LINEAR_FROM_SRGB[Number.parseInt(hex.slice(at, at + 2), 16)]!);
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high! + 0.05) / (low! + 0.05);
}

const GROUNDS = ['ground', 'sheet', 'sheet-sunk', 'table', 'accent-soft', 'look-soft', 'wrong-soft'];
const TEXT_PAIRS: readonly (readonly [string, string])[] = [
  ...GROUNDS.flatMap((ground) => [
    ['text', ground] as const,
    ...(ground.endsWith('-soft') ? [] : [['text-quiet', ground] as const]),
  ]),
  ['accent-text', 'accent'],
  ['accent', 'sheet'],
  ['accent', 'ground'],
  ['accent', 'accent-soft'],
  ['look', 'sheet'],
  ['look', 'look-soft'],
  ['look', 'accent-soft'],
  ['wrong', 'sheet'],
  ['wrong', 'wrong-soft'],
];
const MARK_PAIRS: readonly (readonly [string, string])[] = [
  ['line-strong', 'sheet'],
  ['line-strong', 'ground'],
  ['accent', 'table'],
];

describe.each([
  ['light', LIGHT],
  ['dark', DARK],
] as const)('the %s theme', (_, tokens) => {
  it.each(TEXT_PAIRS)('reads: %s on %s has 4.5:1 (WCAG 2.2, 1.4.3)', (text, ground) => {
    expect(contrast(tokens.get(text)!, tokens.get(ground)!)).toBeGreaterThanOrEqual(4.5);
  });

  it.each(MARK_PAIRS)('shows its controls: %s on %s has 3:1 (WCAG 2.2, 1.4.11)', (mark, ground) => {
    expect(contrast(tokens.get(mark)!, tokens.get(ground)!)).toBeGreaterThanOrEqual(3);
  });
});

it('measures contrast as WCAG does: black on white is 21:1, #767676 on white just passes', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 6);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
  expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
});
