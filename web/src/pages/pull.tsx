// 'Pull this bed?': which other beds then run a risk, with and without doing something first, and what nobody can know.
import { BetweenBar } from "../between_bar";
import type { BedRisk, PestPulled, Pull, PullPlan, Risk } from "../decide_types";
import { Plate } from "../glyphs/leaf";
import { Failure, Link, Loading, Masthead } from "../parts";
import { day, percent, t } from "../state";
import { useAnswer } from "../use";

function planName(plan: PullPlan): string {
  if (plan.first_name !== null) return t("pull.plan_first", { what: plan.first_name, on: day(plan.on) });
  return t(plan.cleared ? "pull.plan_cleared" : "pull.plan_left");
}

// As many bars as the risk is high: told by shape and word.
function RiskMark({ risk }: { risk: Risk }) {
  const bars = risk === "high" ? 3 : risk === "some" ? 2 : 1;
  return (
    <Plate class={`mark risk-mark risk-${risk}`}>
      {[0, 1, 2].map((i) => <rect class={i < bars ? "g-markfill" : "g-markline"} x={8 + i * 17} y={40 - i * 14} width="12" height={16 + i * 14} />)}
    </Plate>
  );
}

function Ranking({ beds }: { beds: BedRisk[] }) {
  const told = beds.filter((one) => one.risk !== "little");
  const rest = beds.filter((one) => one.risk === "little");
  return (
    <>
      {told.length === 0 && <p>{t("pull.risk.none")}</p>}
      <ol class="ranking">
        {told.map((one) => (
          <li class={`rank rank-${one.risk}`}>
            <RiskMark risk={one.risk} />
            <span>
              <strong><Link to={`/beds/${encodeURIComponent(one.bed)}`}>{t("pages.common.bed", { bed: one.bed })}</Link></strong> {one.crop_name} · {t(`pages.pull.risk_${one.risk}`)}
              <span class="source">
                {t("pages.pull.among_most", { share: percent(one.among_most) })}
                {one.over_more !== null && one.over_more >= 0.01 && ` · ${t("pages.pull.over_more", { share: percent(one.over_more) })}`}
              </span>
            </span>
          </li>
        ))}
      </ol>
      {told.length > 0 && rest.length > 0 && <p class="hint">{t("pages.pull.little", { beds: rest.map((one) => one.bed).join(", ") })}</p>}
    </>
  );
}

function Plan({ plan, to, least }: { plan: PullPlan; to: number; least: boolean }) {
  const { mean, p05, p95 } = plan.against_plain;
  return (
    <li class="pull-plan">
      <p class="option-name"><strong>{planName(plan)}</strong>{least && ` · ${t("pages.pull.least")}`}</p>
      <BetweenBar of={plan.against_plain} from={0} to={to} />
      <p>{t("pages.pull.against", { share: percent(mean), low: percent(p05), high: percent(p95) })}</p>
      <Ranking beds={plan.beds} />
    </li>
  );
}

function OnePest({ of }: { of: PestPulled }) {
  const plain = of.plans[0];
  const id = `pull-${of.pest}`;
  const others = of.plans.slice(1);
  return (
    <section aria-labelledby={id}>
      <h2 id={id}>{of.name}</h2>
      {plain !== undefined && plain.beds.length === 0 && <p>{t("pull.nowhere")}</p>}
      {plain !== undefined && plain.beds.length > 0 && (
        <>
          <h3>{planName(plain)}</h3>
          <Ranking beds={plain.beds} />
          <details>
            <summary>{t("pages.pull.ways")}</summary>
            {Object.entries(plain.by_way).map(([way, beds]) => (
              <>
                <p><strong>{t("pull.way", { way: t(`movement.${way}`), share: percent(of.ways?.[way] ?? 0) })}</strong></p>
                <Ranking beds={beds} />
              </>
            ))}
          </details>
          <h3>{t("pages.pull.otherwise")}</h3>
          <p class="strip-legend">{t("pages.pull.legend")}</p>
          <ul class="plain-list">{others.map((one) => <Plan plan={one} to={Math.max(1, ...others.map((two) => two.against_plain.p95))} least={of.least !== null && of.plans[of.least] === one} />)}</ul>
        </>
      )}
      <h3>{t("pull.knows_title")}</h3>
      <ul class="why">{of.knows.map((one) => <li>{one.text}</li>)}</ul>
      <h3>{t("pull.cannot_title")}</h3>
      <ul class="why">{of.cannot_know.map((one) => <li>{one.text}</li>)}</ul>
    </section>
  );
}

export function PullPage({ bed }: { bed: string }) {
  const answer = useAnswer<Pull>(`/api/beds/${encodeURIComponent(bed)}/pull`);
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const pull = answer.value;
  return (
    <>
      <Masthead title={t("pages.pull.title", { bed, crop: pull.crop_name ?? "" })} garden={pull.garden} marked={pull.marked} at={pull.at} />
      {pull.nothing !== null && <p class="unknown">{pull.nothing.text}</p>}
      {!pull.past_harvest && <p><strong>{t("pull.not_past")}</strong></p>}
      {pull.pests.map((one) => <OnePest of={one} />)}
      {pull.pests.length > 0 && <p class="basis">{t("compare.caution")}</p>}
      <p class="onward"><Link to={`/beds/${encodeURIComponent(bed)}`}>{t("pages.bed.title", { bed })}</Link></p>
    </>
  );
}
