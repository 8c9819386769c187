declare module '*/engine/opencv.js' {
  const factory: (module: object) => Promise<unknown>;
  export default factory;
}
