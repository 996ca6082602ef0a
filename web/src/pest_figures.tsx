// One pest in one bed: on what the advice rests, where its stages stand, what was counted, the published threshold, and how sure each is.
import { about } from "./format";
import { PestGlyph } from "./glyphs";
import { knownWord } from "./parts";
import { day, language, percent, t } from "./state";
import { Timeline } from "./timeline";
import type { PestView, Threshold } from "./types";

interface Spread {
  mean: number;
  p05: number;
  p95: number;
}

function figures(spread: Spread): { mean: string; low: string; high: string } {
  return { mean: about(spread.mean, language.value), low: about(spread.p05, language.value), high: about(spread.p95, language.value) };
}

function stageWord(stage: string | null): string {
  return stage === null ? "" : t(`stage.${stage}`);
}

export function Known({ of }: { of: { source: string; known: string; note?: string } }) {
  return (
    <span class="source">
      {t("pages.pest.source", { source: of.source })} · {t("pages.pest.known", { known: knownWord(of.known) })}
      {of.note !== undefined && of.note !== "" && <> · {t("pages.pest.note", { note: of.note })}</>}
    </span>
  );
}

function ThresholdText({ threshold }: { threshold: Threshold }) {
  const stage = stageWord(threshold.stage);
  return (
    <>
      {threshold.measure === "per_plant" ? t("pages.pest.threshold_value", { value: about(threshold.value, language.value), stage })
        : t("pages.pest.threshold_share", { value: percent(threshold.value), stage })}
      <Known of={threshold} />
    </>
  );
}

export function PestFigures({ pest, today, level, plate = false }: { pest: PestView; today: string; level: 3 | 4; plate?: boolean }) {
  const Heading = `h${level}` as "h3" | "h4";
  const density = pest.density;
  return (
    <div class="pest">
      <Heading class="pest-name">
        {plate && <PestGlyph pest={pest.pest} stage={density?.stage ?? ""} />}
        <span>{pest.name}</span>
      </Heading>
      {pest.timing_unknown !== null && <p class="unknown">{pest.timing_unknown.text}</p>}
      <Timeline pest={pest} today={today} />
      <dl class="figures">
        <dt>{t("pages.pest.density")}</dt>
        <dd>
          {density === null ? t("pages.pest.no_count")
            : pest.basis === "population" ? t("pages.pest.density_learned", { ...figures(density), stage: stageWord(density.stage) })
            : t("pages.pest.density_now", { ...figures(density), stage: stageWord(density.stage), day: density.counted_on === null ? "?" : day(density.counted_on) })}
          {density?.soon != null && density.soon.on !== null && (
            <><br />{t("pages.pest.density_soon", { ...figures(density.soon), stage: stageWord(density.stage), day: day(density.soon.on) })}</>
          )}
        </dd>
        {pest.threshold !== null && (
          <>
            <dt>{t("pages.pest.threshold")}</dt>
            <dd><ThresholdText threshold={pest.threshold} /></dd>
          </>
        )}
      </dl>
      {pest.p_over !== null && <p>{t("pages.pest.over", { share: percent(pest.p_over) })}</p>}
      {pest.p_over_soon !== null && <p>{t("pages.pest.over_soon", { share: percent(pest.p_over_soon) })}</p>}
      {pest.why.length > 0 && <ul class="why">{pest.why.map((one) => <li>{one.text}</li>)}</ul>}
    </div>
  );
}

// Said once for all pests of a bed when they rest on the same.
export function BasisNote({ pests }: { pests: PestView[] }) {
  const kinds = [...new Set(pests.map((pest) => pest.basis))];
  return <>{kinds.map((kind) => <p class="basis">{t(`pages.basis.${kind}`)}</p>)}</>;
}
