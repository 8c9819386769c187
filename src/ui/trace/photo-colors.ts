/**
 * Colours of outlines on photos: the same in both themes, since the photo is. The one in hand is bolder too, and a
 * piece left out is dashed, so that they differ in black and white as well.
 */
export const TRACED_ON_PHOTO = '#00705a';
export const IN_HAND_ON_PHOTO = '#c2410c';
export const LEFT_OUT_ON_PHOTO = '#5f5a52';
