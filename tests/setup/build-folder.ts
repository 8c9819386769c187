/** Environment variable by which the global set-up tells the browser tests where this run keeps its build of the app. */
export const BUILD_FOLDER_VARIABLE = 'FOAMWRIGHT_TEST_BUILD';
