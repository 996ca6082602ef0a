// One pest in one bed, three weeks ahead: the fan of what its threshold counts, one for each stage, what was counted, and what it rests on.
import { type Fan, fanDays, type FanMark, FanChart } from "../fan_chart";
import { about } from "../format";
import { PestGlyph } from "../glyphs";
import type { Outlook, OutlookPest, OutlookPestInBed, Taken } from "../outlook_types";
import { mayDo } from "../may";
import { Failure, Link, Loading, Masthead } from "../parts";
import { Known } from "../pest_figures";
import { countAddress } from "./brief";
import { day, hasWord, language, percent, t } from "../state";
import { inBed } from "./outlook";
import { useAnswer } from "../use";

function marksOf(taken: Taken[], value: (one: Taken) => number | null): FanMark[] {
  return taken.flatMap((one) => {
    const at = value(one);
    return at === null ? [] : [{ date: one.date, group: one.group, value: at }];
  });
}

function weatherEnds(outlook: Outlook): Fan["weatherEnds"] {
  const { future, forecast_to } = outlook.weather;
  if (future === "forecast" && forecast_to !== null) return { on: forecast_to, label: t("pages.outlook.past_years_from_here") };
  return { on: outlook.day, label: t(future === "past_years" ? "pages.outlook.past_years_from_here" : "pages.outlook.fortnight_from_here") };
}

function Charts({ outlook, of, bed }: { outlook: Outlook; of: OutlookPestInBed; bed: string }) {
  const threshold = of.threshold?.measure === "per_plant" ? of.threshold : null;
  const ends = weatherEnds(outlook);
  const groups = [...new Set(of.days.flatMap((one) => Object.keys(one.stages)))];
  const alt = (what: string) => t("pages.outlook.chart_alt", { what, bed, pest: of.name });
  const main: Fan = {
    title: t("pages.outlook.chart", { what: of.counted_stage_name }),
    alt: alt(of.counted_stage_name),
    days: fanDays(of.days, (one) => one.counted, threshold !== null),
    marks: marksOf(of.taken, (one) => one.counted),
    limit: threshold === null ? null : { value: threshold.value, label: t("pages.outlook.limit", { value: about(threshold.value, language.value) }) },
    today: outlook.day,
    weatherEnds: ends,
  };
  return (
    <>
      <FanChart fan={main} id="fan-counted" width={360} />
      {of.threshold !== null && (
        <p>
          {t("pages.pest.threshold")}:{" "}
          {threshold !== null ? t("pages.pest.threshold_value", { value: about(of.threshold.value, language.value), stage: t(`stage.${of.threshold.stage}`) })
            : t("pages.pest.threshold_share", { value: percent(of.threshold.value), stage: t(`stage.${of.threshold.stage}`) })}
          <Known of={of.threshold} />
        </p>
      )}
      {of.threshold === null && <p class="unknown">{t("pages.outlook.no_threshold")}</p>}
      <p class="strip-legend fan-legend">
        <span class="fan-key fan-key-middle">{t("pages.outlook.key_middle")}</span>
        <span class="fan-key fan-key-half">{t("pages.outlook.key_half")}</span>
        <span class="fan-key fan-key-wide">{t("pages.outlook.key_wide")}</span>
        {of.taken.length > 0 && <span>{t("pages.outlook.key_taken")}</span>}
      </p>
      <section aria-labelledby="stages">
        <h2 id="stages">{t("pages.outlook.stages")}</h2>
        <div class="fans">
          {groups.map((group) => (
            <FanChart id={`fan-${group}`} width={310} fan={{
              title: t("pages.outlook.chart", { what: t(`stage.${group}`) }),
              alt: alt(t(`stage.${group}`)),
              days: fanDays(of.days, (one) => one.stages[group], false),
              marks: marksOf(of.taken, (one) => (one.group === group ? one.per_plant : null)),
              limit: null,
              today: outlook.day,
              weatherEnds: ends,
            }} />
          ))}
        </div>
      </section>
    </>
  );
}

function Counts({ of, bed }: { of: OutlookPestInBed; bed: string }) {
  return (
    <section aria-labelledby="taken">
      <h2 id="taken">{t("pages.outlook.taken")}</h2>
      {of.taken.length === 0 ? <p>{t("pages.outlook.taken_none")}</p> : <ul class="taken">{of.taken.map((one) => <li><span class="source">{day(one.date)}</span> {one.text}</li>)}</ul>}
      {mayDo("write_count") && <p><Link class="button button-quiet" to={countAddress({ bed, pest: of.pest, stage: of.counted_stage, plants: 20 })}>{t("pages.outlook.count_again")}</Link></p>}
    </section>
  );
}

function Rests({ of, pest, outlook }: { of: OutlookPestInBed; pest: OutlookPest | undefined; outlook: Outlook }) {
  return (
    <section aria-labelledby="rests">
      <h2 id="rests">{t("pages.outlook.rests")}</h2>
      {pest !== undefined && <p>{pest.gate.text}</p>}
      {outlook.notes.map((note) => <p>{note.text}</p>)}
      <h3>{t("pages.outlook.not_learned")}</h3>
      {of.not_learned.length === 0 ? <p>{t("pages.outlook.all_learned")}</p> : <ul>{of.not_learned.map((one) => <li>{t(`unknown.${one}`)}</li>)}</ul>}
      <p>{t("pages.outlook.moves", { stays: percent(of.movement["stays"] ?? 0), neighbours: percent(of.movement["goes_to_neighbours"] ?? 0), leaves: percent(of.movement["leaves"] ?? 0) })}</p>
      {pest !== undefined && pest.assumed.length > 0 && <details><summary>{t("pages.outlook.assumed", { n: pest.assumed.length })}</summary><ul class="why">{pest.assumed.map((one) => <li>{one.text}</li>)}</ul></details>}
      {pest !== undefined && pest.left_out.length > 0 && <><h3>{t("outlook.left_out_title")}</h3><ul class="why">{pest.left_out.map((one) => <li>{one.text}</li>)}</ul></>}
    </section>
  );
}

export function OutlookOnePage({ bed, pest }: { bed: string; pest: string }) {
  const answer = useAnswer<Outlook>("/api/outlook");
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const outlook = answer.value;
  const of = inBed(outlook, bed, pest);
  const name = of?.name ?? (hasWord(`pest.${pest}.name`) ? t(`pest.${pest}.name`) : pest);
  return (
    <div class="spread outlook-one">
      <Masthead title={t("pages.outlook.of", { bed, pest: name })} garden={outlook.garden} marked={outlook.marked} at={outlook.at} />
      {of === undefined ? <p class="unknown">{outlook.no_numbers?.text ?? t("pages.outlook.nothing_here")}</p> : (
        <>
          <div class="page-left">
            <p class="season-lead"><PestGlyph pest={of.pest} stage={of.counted_stage} /> <strong>{of.says.text}</strong></p>
            <Charts outlook={outlook} of={of} bed={bed} />
          </div>
          <div class="page-right">
            <Counts of={of} bed={bed} />
            <Rests of={of} pest={outlook.pests.find((one) => one.pest === pest)} outlook={outlook} />
          </div>
        </>
      )}
      <p class="onward page-left"><Link to="/outlook">{t("pages.outlook.all")}</Link> · <Link to={`/beds/${encodeURIComponent(bed)}`}>{t("pages.bed.title", { bed })}</Link></p>
    </div>
  );
}
