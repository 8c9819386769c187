export { capturePhoto as captureFromCards } from './capture-photo.ts';
