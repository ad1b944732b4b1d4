/** The page: asks the engine and draws what it answers. */
import { render } from "preact";
import { preparePrint } from "./page/print";
import { Result } from "./page/result";
import { Start } from "./page/start";
import { Impossible, Unreadable } from "./page/stopped";
import { Foot, State, Top } from "./part/frame";
import { watchBack } from "./store/back";
import { screen } from "./store/screen";
import { begin, openDemo, reply } from "./store/sort";
import "./style/token.css";
import "./style/base.css";
import "./style/frame.css";
import "./style/start.css";
import "./style/result.css";
import "./style/strip.css";
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
  await begin();
  if (wantsDemo()) await openDemo();
}

const [app, paper] = [document.getElementById("app"), document.getElementById("print")];
if (app && paper) {
  // Asked first, so that the first picture already says that the engine starts.
  void open();
  render(<App />, app);
  preparePrint(paper);
  watchBack();
  addEventListener("hashchange", () => {
    if (wantsDemo()) void openDemo();
  });
}
