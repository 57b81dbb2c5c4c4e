/** The version the app names when it syncs. */
export const appVersion = '0.1.0';
