// What a card says to one spray: for every planting of the bed its verdict, its reasons, and when one may pick and enter again.
import { Reasons } from "./parts";
import { dayAndTime, t } from "./state";
import type { CardView, MayTreat, Verdict } from "./types";

const worstFirst: Verdict[] = ["refused", "unknown", "conditional", "allowed"];

export function worst(answer: MayTreat): Verdict | null {
  return worstFirst.find((verdict) => answer.plantings.some((planting) => planting.verdict === verdict)) ?? null;
}

export function CardRates({ card }: { card: CardView }) {
  return (
    <>
      {card.uses.map((use) => {
        const crops = use.crops.map((crop) => (crop.crop.startsWith("group:") ? t("pages.spray.crop_group", { group: crop.crop.slice(6) }) : crop.name)).join(", ");
        if (use.rate_min !== null && use.rate_max !== null && use.rate_min !== use.rate_max) {
          return <p class="hint">{t("pages.spray.rate_card", { low: use.rate_min, high: use.rate_max, crops })}</p>;
        }
        const only = use.rate_max ?? use.rate_min;
        return only === null ? null : <p class="hint">{t("pages.spray.rate_card_one", { low: only, crops })}</p>;
      })}
    </>
  );
}

function Clearances({ earliest, reentry, untilDry }: { earliest: string | null; reentry: string | null; untilDry: boolean }) {
  return (
    <>
      <p>{earliest === null ? t("pages.spray.earliest_unknown") : t("pages.spray.earliest_harvest", { when: dayAndTime(earliest) })}</p>
      <p>{reentry !== null ? t("pages.spray.reentry", { when: dayAndTime(reentry) }) : t(untilDry ? "pages.spray.reentry_dry" : "pages.spray.reentry_unknown")}</p>
    </>
  );
}

export function Verdicts({ answer }: { answer: MayTreat }) {
  return (
    <>
      {answer.plantings.map((planting) => (
        <section class={`judged judged-${planting.verdict}`}>
          <h2>{t("pages.spray.for_crop", { crop: planting.name, planting: planting.planting })}</h2>
          <p class={`verdict verdict-${planting.verdict}`}>{t(`pages.spray.verdict_${planting.verdict}`)}</p>
          <h3>{t("pages.spray.reasons")}</h3>
          <Reasons reasons={planting.reasons} />
          {(planting.verdict === "allowed" || planting.verdict === "conditional") && <Clearances earliest={planting.earliest_harvest} reentry={planting.reentry} untilDry={planting.reentry_until_dry} />}
        </section>
      ))}
    </>
  );
}

export function mayGoAhead(verdict: Verdict | null): boolean {
  return verdict === "allowed" || verdict === "conditional";
}

// Conditions and the card's own statements are read on the container before anything goes ahead.
export function mustConfirm(answer: MayTreat): boolean {
  return worst(answer) === "conditional" || answer.statements.length > 0;
}
