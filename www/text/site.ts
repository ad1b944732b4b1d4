/** The page's own words about being installed. */
export const site = {
  site: {
    version: (of: string) => `Evenfold ${of}.`,
    kept: "Kept on this device: it opens without a network.",
    keptNow: "Ready to work offline.",
    newer: "A newer version is here: go over to it",
    install: "Put it on this tablet first",
    installHelp:
      "Before the first ewe, use the browser's menu: Install, or Add to Home Screen. Then open it from there. Some tablets keep an installed page's entries apart from the browser's, and clear the browser's after days without use. What is entered already goes over by a backup file.",
  },
};
