// How many there are and will be: every pest counted this season in every bed it can live in, worst first, one sentence each.
import { PestGlyph } from "../glyphs";
import type { Outlook, OutlookPestInBed } from "../outlook_types";
import { mayDo } from "../may";
import { Failure, Link, Loading, Masthead } from "../parts";
import { t } from "../state";
import { useLive } from "../use";

export function outlookAddress(bed: string, pest: string): string {
  return `/outlook/${encodeURIComponent(bed)}/${encodeURIComponent(pest)}`;
}

export function inBed(outlook: Outlook, bed: string, pest: string): OutlookPestInBed | undefined {
  return outlook.beds.find((one) => one.bed === bed)?.pests.find((one) => one.pest === pest);
}

function Lines({ lines }: { lines: { bed: string; of: OutlookPestInBed }[] }) {
  return (
    <ul class="plain-list outlook-list">
      {lines.map(({ bed, of }) => (
        <li class="short">
          <PestGlyph pest={of.pest} stage={of.counted_stage} />
          <div>
            <h3><Link to={outlookAddress(bed, of.pest)}>{of.says.text}</Link></h3>
          </div>
        </li>
      ))}
    </ul>
  );
}

export function OutlookPage() {
  const answer = useLive<Outlook>("/api/outlook");
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const outlook = answer.value;
  const lines = outlook.worst.flatMap(({ bed, pest }) => {
    const of = inBed(outlook, bed, pest);
    return of === undefined ? [] : [{ bed, of }];
  });
  const counted = lines.filter(({ of }) => of.counts > 0);
  const others = lines.filter(({ of }) => of.counts === 0);
  const leftOut = [...outlook.pests, ...outlook.not_counted].flatMap((one) => one.left_out);
  const silent = outlook.not_counted.filter((one) => one.beds.length > 0);
  return (
    <>
      <Masthead title={t("pages.outlook.title")} garden={outlook.garden} marked={outlook.marked} at={outlook.at} />
      {outlook.no_numbers !== null && <p class="unknown">{outlook.no_numbers.text}</p>}
      {counted.length === 0 && outlook.no_numbers === null && <p>{t("pages.outlook.none")} {mayDo("write_count") && <Link to="/write/count">{t("pages.write.count")}</Link>}</p>}
      {counted.length > 0 && (
        <section aria-labelledby="counted">
          <h2 id="counted">{t("pages.outlook.counted")}</h2>
          <p class="hint">{t("outlook.intervals")}</p>
          <Lines lines={counted} />
        </section>
      )}
      <section class="rests" aria-labelledby="rests">
        <h2 id="rests">{t("pages.outlook.rests")}</h2>
        {outlook.pests.filter((one) => one.counts > 0).map((one) => <p>{one.gate.text}</p>)}
        {outlook.notes.map((note) => <p>{note.text}</p>)}
      </section>
      {others.length > 0 && (
        <details class="uncounted">
          <summary>{t("pages.outlook.uncounted", { n: others.length })}</summary>
          <p class="hint">{t("outlook.from_other_beds")}</p>
          <Lines lines={others} />
        </details>
      )}
      {silent.length > 0 && (
        <details>
          <summary>{t("pages.outlook.silent", { n: silent.length })}</summary>
          <p>{t("pages.outlook.silent_why")}</p>
          <ul>{silent.map((one) => <li>{one.name} <span class="source">{t("pages.outlook.could_live", { beds: one.beds.join(", ") })}</span></li>)}</ul>
        </details>
      )}
      {leftOut.length > 0 && <section aria-labelledby="left-out"><h2 id="left-out">{t("outlook.left_out_title")}</h2><ul class="why">{leftOut.map((one) => <li>{one.text}</li>)}</ul></section>}
    </>
  );
}
