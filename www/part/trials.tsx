/** What is tried on the feeds: prices, the energy of forage, a feed left out. */
import type { FeedOffer } from "../engine/types";
import { asItIs, trialOf, trying, tryOn, wished } from "../store/ration";
import { en } from "../text/en";
import { Slide } from "./slide";

const words = en.ration;

/** Every feed with its sliders. */
export function Trials() {
  const tried = (wished.value?.trials ?? []).length > 0;
  return (
    <details class="trials" open>
      <summary>{words.trials}</summary>
      {tried && (
        <p class="acts">
          <button type="button" class="plain" onClick={() => void asItIs()}>
            {words.asItIs}
          </button>
        </p>
      )}
      <ul>
        {trying.value?.feeds.map((offer) => (
          <li key={offer.name}>
            <Trial offer={offer} />
          </li>
        ))}
      </ul>
    </details>
  );
}

function Trial({ offer }: { offer: FeedOffer }) {
  const tried = trialOf(offer.name);
  const isOut = tried.is_left_out ?? false;
  const price = tried.price_per_t ?? offer.price_per_t;
  const energy = tried.me_mj_per_kg_dm ?? offer.me_mj_per_kg_dm;
  return (
    <>
      <label class="tick">
        <input
          type="checkbox"
          checked={!isOut}
          onChange={(event) => void tryOn(offer.name, { is_left_out: !event.currentTarget.checked })}
        />
        <b>{offer.name}</b>
      </label>
      <Slide
        label={words.price(offer.name)}
        at={price}
        range={[...offer.try_prices, 5]}
        say={(money) => words.aTonne(money)}
        go={(price_per_t) => void tryOn(offer.name, { price_per_t })}
        disabled={isOut}
      />
      {offer.try_energies && (
        <Slide
          label={words.energy(offer.name)}
          at={energy}
          range={[...offer.try_energies, 0.1]}
          say={(mj) => words.ofEnergy(mj.toFixed(1))}
          go={(me_mj_per_kg_dm) => void tryOn(offer.name, { me_mj_per_kg_dm })}
          disabled={isOut}
        />
      )}
    </>
  );
}
