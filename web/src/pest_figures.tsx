// One pest in one bed: on what the advice rests, where its stages stand, what was counted, the published threshold, and how sure each is.
import { about, day } from "./format";
import { knownWord } from "./parts";
import { language, percent, t } from "./state";
import { Timeline } from "./timeline";
import type { PestView } from "./types";
import { PestGlyph } from "./glyphs";

export function PestFigures({ pest, today, level, plate = false }: { pest: PestView; today: string; level: 3 | 4; plate?: boolean }) {
  const Heading = `h${level}` as "h3" | "h4";
  const density = pest.density;
  return (
    <div class="pest">
      <Heading class="pest-name">
        {plate && <PestGlyph pest={pest.pest} stage={density?.stage ?? ""} />}
        {pest.name}
      </Heading>
      <p class="basis">{t(`pages.basis.${pest.basis}`)}</p>
      {pest.timing_unknown !== null && <p class="unknown">{pest.timing_unknown.text}</p>}
      <Timeline pest={pest} today={today} />
      <dl class="figures">
        <dt>{t("pages.pest.density")}</dt>
        <dd>{density === null ? t("pages.pest.no_count") : density.text}</dd>
        {density?.soon != null && (
          <>
            <dt>{day(density.soon.on, language.value)}</dt>
            <dd>{t("pages.pest.about_figure", { mean: about(density.soon.mean, language.value), low: about(density.soon.p05, language.value), high: about(density.soon.p95, language.value) })} {t("pages.pest.per_plant")}</dd>
          </>
        )}
        {pest.threshold !== null && (
          <>
            <dt>{t("pages.pest.threshold")}</dt>
            <dd>
              {pest.threshold.text}
              <span class="source">{t("pages.pest.source", { source: pest.threshold.source })} · {t("pages.pest.known", { known: knownWord(pest.threshold.known) })}</span>
            </dd>
          </>
        )}
      </dl>
      {pest.p_over !== null && <p>{t("pages.pest.over", { share: percent(pest.p_over) })}</p>}
      {pest.p_over_soon !== null && <p>{t("pages.pest.over_soon", { share: percent(pest.p_over_soon) })}</p>}
      {pest.why.length > 0 && <ul class="why">{pest.why.map((one) => <li>{one.text}</li>)}</ul>}
    </div>
  );
}
