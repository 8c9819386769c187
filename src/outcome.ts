/** A maker's error as a value: programming errors throw, these are told to the maker. */
export interface Problem<Code extends string = string> {
  readonly code: Code;
  /** One or two sentences: what happened, what it means for the piece, what to do next. */
  readonly message: string;
}

export type Outcome<T, Code extends string = string> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: Problem<Code> };

export function success<T>(value: T): { readonly ok: true; readonly value: T } {
  return { ok: true, value };
}

export function failure<Code extends string>(
  code: Code,
  message: string,
): { readonly ok: false; readonly problem: Problem<Code> } {
  return { ok: false, problem: { code, message } };
}

/** Told how far a long step has come: `fraction` in 0..1 of the whole request. May throw to cancel. */
export type Progress = (step: string, fraction: number) => void;
