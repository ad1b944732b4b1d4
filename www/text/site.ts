/** The page's own words about being installed. */
export const site = {
  site: {
    version: (of: string) => `Evenfold ${of}.`,
    kept: "Kept on this device: it opens without a network.",
    keptNow: "Ready to work offline.",
    newer: "A newer version is here: go over to it",
  },
};
