/** The page: asks the engine and draws what it answers. */
import { render } from "preact";
import { Need } from "./page/need";
import { preparePrint } from "./page/print";
import { Result } from "./page/result";
import { Start } from "./page/start";
import { Impossible, Unreadable } from "./page/stopped";
import { Foot, State, Top } from "./part/frame";
import { openNeed, wantsNeed, watchBack } from "./store/back";
import { screen } from "./store/screen";
import { begin, demo, openDemo, reply } from "./store/sort";
import "./style/token.css";
import "./style/base.css";
import "./style/frame.css";
import "./style/start.css";
import "./style/result.css";
import "./style/strip.css";
import "./style/need.css";
import "./style/print.css";

function App() {
  return (
    <>
      <Top />
      <State />
      <Screen />
      <Foot />
    </>
  );
}

function Screen() {
  const answer = reply.value;
  if (screen.value === "need") return <Need />;
  if (screen.value === "start" || !answer) return <Start />;
  switch (answer.kind) {
    case "sorted":
      return <Result view={answer.view} />;
    case "impossible":
      return <Impossible view={answer.view} />;
    case "unreadable":
      return <Unreadable headline={answer.headline} problems={answer.problems} question={answer.question} />;
  }
}

const wantsDemo = () => location.hash === "#demo";

async function open(): Promise<void> {
  if (wantsNeed()) openNeed();
  await begin();
  if (wantsDemo()) await openDemo();
}

const [app, paper] = [document.getElementById("app"), document.getElementById("print")];
if (app && paper) {
  watchBack();
  // Asked first, so that the first picture already says that the engine starts.
  void open();
  render(<App />, app);
  preparePrint(paper);
  addEventListener("hashchange", ({ oldURL }) => {
    // The way back from a ewe's needs to the demo's pens: they are there still, with what was kept by hand.
    const back = oldURL.endsWith("#need") && demo.value !== null;
    if (wantsDemo() && !back) void openDemo();
    if (wantsNeed()) openNeed();
  });
}
