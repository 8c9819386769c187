/** Input that cannot be used: told in one sentence on standard error, exit code 2. */
export class Unusable extends Error {}
