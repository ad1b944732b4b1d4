/** The page's own words in the room of one ration. What a ration means is said by the engine alone. */
export const ration = {
  ration: {
    title: "What to feed",
    lead: "One pen, one week? See the cheapest safe ration of your feeds, and what moves it.",
    purpose:
      "The cheapest ration inside safe limits for one kind of ewe, and what changes when a price or a silage does.",
    who: "Who is fed",
    weight: "Live weight without the lambs",
    weeks: "Weeks to lambing",
    inWeeks: (weeks: number) => (weeks === 1 ? "1 week" : `${weeks} weeks`),
    ways: {
      separate: "Forage, concentrate apart",
      mixed: "One mix",
      nuts: "Hay and nuts",
      straw: "Straw and concentrate",
    },
    trials: "What if",
    asItIs: "All as the list has it",
    price: (feed: string) => `Price of ${feed}`,
    aTonne: (money: number) => `${money} a tonne`,
    energy: (feed: string) => `Energy of ${feed}`,
    ofEnergy: (mj: string) => `${mj} MJ a kg DM`,
    before: (headline: string) => `As the list has it: ${headline}`,
    short: "What is short",
    prices: "What the limits cost",
    unused: "When other feeds would come in",
    limits: "Supply against every limit",
  },
};
