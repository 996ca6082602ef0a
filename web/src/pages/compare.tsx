// On a bed's page: leaving it alone beside everything that may be done, by what each is expected to save, and what a card refuses.
import { useState } from "preact/hooks";
import { BetweenBar } from "../between_bar";
import type { Compare, ComparedOption, PestCompared, RefusedAct } from "../decide_types";
import { Failure, Link, Loading, Minutes, Reasons } from "../parts";
import { Known } from "../pest_figures";
import { day, dayAndTime, percent, t } from "../state";
import { useAnswer } from "../use";
import { outlookAddress } from "./outlook";

// The same means on several days stands together.
function together<T extends { means: string }>(all: T[]): T[][] {
  const groups = new Map<string, T[]>();
  for (const one of all) groups.set(one.means, [...(groups.get(one.means) ?? []), one]);
  return [...groups.values()];
}

function Row({ option, from, to, over }: { option: ComparedOption; from: number; to: number; over: boolean }) {
  const share = option.means === "nothing" ? null : option.share;
  return (
    <div class="compared-row">
      <p class="compared-day">{day(option.on)}</p>
      {share !== null && <BetweenBar of={share} from={from} to={to} />}
      <p>
        {share !== null && <>{t("pages.compare.saves", { share: percent(share.mean), low: percent(share.p05), high: percent(share.p95) })}{option.tied && ` · ${t("pages.compare.tied")}`}</>}
        {over && <span class="source">{t("pages.compare.over", { share: percent(option.p_over) })}</span>}
        {option.earliest_harvest !== null && <span class="source">{t("pages.compare.harvest", { when: dayAndTime(option.earliest_harvest) })}</span>}
      </p>
    </div>
  );
}

function OptionGroup({ options, from, to, over }: { options: ComparedOption[]; from: number; to: number; over: boolean }) {
  const first = options[0];
  if (first === undefined) return null;
  const why = new Map(options.flatMap((one) => one.why).filter((one) => one.code !== "option.harvest_from").map((one) => [one.text, one]));
  return (
    <li class="compared">
      <p class="option-name"><strong>{first.name}</strong> <Minutes minutes={first.minutes} /></p>
      {options.map((one) => <Row option={one} from={from} to={to} over={over} />)}
      {[...why.keys()].map((text) => <p class="hint">{text}</p>)}
      {first.effect !== null && (
        <p class="hint">
          {first.effect.low === first.effect.high ? t("pages.bed.efficacy_one", { low: percent(first.effect.low) }) : t("pages.bed.efficacy", { low: percent(first.effect.low), high: percent(first.effect.high) })}
          <Known of={first.effect} />
        </p>
      )}
    </li>
  );
}

function Refused({ acts }: { acts: RefusedAct[] }) {
  return (
    <>
      <h4>{t("pages.compare.refused")}</h4>
      {together(acts).map((group) => (
        <div class="refused">
          <p class="option-name"><strong>{group[0]?.means}</strong> <span class="source">{group.map((one) => day(one.on)).join(", ")}</span></p>
          {(group[0]?.reasons.length ?? 0) > 0 ? <Reasons reasons={group[0]?.reasons ?? []} /> : [...new Set(group.flatMap((one) => one.why.map((why) => why.text)))].map((text) => <p>{text}</p>)}
        </div>
      ))}
    </>
  );
}

function Timing({ of }: { of: PestCompared }) {
  const { act, look, why } = of.by_timing;
  return (
    <>
      <p><strong>{act.length > 0 ? t("advice.do", { what: act.map((one) => one.name).join(", ") }) : look === null ? t("advice.leave") : t("pages.compare.look", { day: day(look) })}</strong></p>
      {why.map((one) => <p>{one.text}</p>)}
      <p>{t("compare.beside")}</p>
    </>
  );
}

function OnePest({ of, bed }: { of: PestCompared; bed: string }) {
  const shares = of.options.filter((one) => one.means !== "nothing").map((one) => one.share);
  const from = Math.min(0, ...shares.map((one) => one.p05));
  const to = Math.max(0.2, ...shares.map((one) => one.p95));
  return (
    <section class="compared-pest">
      <h3>{of.name}</h3>
      <p>{of.gate.text}</p>
      {of.basis === "timing" && <Timing of={of} />}
      {of.why.map((one) => <p>{one.text}</p>)}
      <ol class="compared-list">{together(of.options).map((group) => <OptionGroup options={group} from={from} to={to} over={of.threshold !== null} />)}</ol>
      {of.refused.length > 0 && <Refused acts={of.refused} />}
      <p class="onward"><Link to={outlookAddress(bed, of.pest)}>{t("pages.outlook.to_one")}<span class="sr-only">: {of.name}</span></Link></p>
    </section>
  );
}

function Compared({ bed }: { bed: string }) {
  const answer = useAnswer<Compare>(`/api/beds/${encodeURIComponent(bed)}/compare`);
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const compare = answer.value;
  return (
    <>
      {compare.nothing !== null && <p class="unknown">{compare.nothing.text}</p>}
      {compare.pests.length > 0 && <p class="strip-legend">{t("pages.compare.legend", { days: compare.days })}</p>}
      {compare.pests.map((one) => <OnePest of={one} bed={bed} />)}
      {compare.pests.length > 0 && <p class="basis">{t("compare.caution")}</p>}
    </>
  );
}

// Asked only by who opens it: following every option for a fortnight is work.
export function CompareSection({ bed }: { bed: string }) {
  const [open, setOpen] = useState(false);
  return (
    <details class="compare" onToggle={(event) => { if (event.currentTarget.open) setOpen(true); }}>
      <summary>{t("pages.compare.title")}</summary>
      {open && <Compared bed={bed} />}
    </details>
  );
}
