import type { Draft } from 'immer';
import { describe, expect, expectTypeOf, it } from 'vitest';
import type { z } from 'zod';
import { buildSchema } from '../../src/build/schema.ts';
import type { Build } from '../../src/build/types.ts';
import { sampleBuild } from './sample-build.ts';

/** Written out field by field, so that types made in different ways compare. */
type Plain<T> = T extends object ? { [K in keyof T]: Plain<T[K]> } : T;

describe('the schema', () => {
  it('has exactly the fields of the types, checked by the compiler', () => {
    expectTypeOf<Plain<z.output<typeof buildSchema>>>().toEqualTypeOf<Plain<Draft<Build>>>();
    expect(buildSchema.parse(sampleBuild())).toEqual(sampleBuild());
  });
});
