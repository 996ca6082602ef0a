// Every pest that has a host in the garden: what comes next and when, or why nobody can say.
import { PestGlyph } from "../glyphs";
import { Failure, Link, Loading, Masthead } from "../parts";
import { Between } from "./season";
import type { PestSummary, Seasons } from "../season_types";
import { day, t } from "../state";
import { useAnswer } from "../use";

function Line({ pest }: { pest: PestSummary }) {
  return (
    <li class="short">
      <PestGlyph pest={pest.pest} stage={pest.next?.stage ?? ""} />
      <div>
        <h3><Link to={`/seasons/${encodeURIComponent(pest.pest)}`}>{pest.name}</Link></h3>
        <p>{pest.headline}{pest.next !== null && <Between event={pest.next} />}</p>
        <p class="source">{t("pages.season.lives_on", { crops: pest.crops.map((one) => one.name).join(", ") })}</p>
      </div>
    </li>
  );
}

export function SeasonsPage() {
  const answer = useAnswer<Seasons>("/api/seasons");
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const { pests, garden, marked, at } = answer.value;
  const soonest = (one: PestSummary) => one.next?.date ?? "9999";
  const dated = pests.filter((one) => one.state === "dated").sort((a, b) => soonest(a).localeCompare(soonest(b)));
  const others = pests.filter((one) => one.state !== "dated");
  return (
    <>
      <Masthead title={t("pages.season.title")} garden={garden} marked={marked} at={at} />
      <p class="intro">{t(`pages.season.future_${answer.value.future}`, { day: answer.value.forecast_last === null ? "" : day(answer.value.forecast_last) })}</p>
      <p class="onward"><Link to="/weather">{t("pages.season.to_weather")}</Link></p>
      {pests.length === 0 && <p>{t("pages.season.no_pests")}</p>}
      {dated.length > 0 && <section aria-labelledby="dated"><h2 id="dated">{t("pages.season.dated")}</h2><ul class="plain-list">{dated.map((one) => <Line pest={one} />)}</ul></section>}
      {others.length > 0 && <section aria-labelledby="undated"><h2 id="undated">{t("pages.season.undated")}</h2><ul class="plain-list">{others.map((one) => <Line pest={one} />)}</ul></section>}
    </>
  );
}
