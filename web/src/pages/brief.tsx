// The morning brief: what to do today, worst bed first, each in one sentence with its reason.
import { PestGlyph, TurnedLeaf } from "../glyphs";
import { AnswerWord, Cautions, Failure, Link, Loading, Masthead, Minutes, UrgencyMark } from "../parts";
import { BasisNote, PestFigures } from "../pest_figures";
import { day, longDay, t } from "../state";
import { useAnswer } from "../use";
import type { BedView, BoardRow, Brief, Visit } from "../types";
import { useState } from "preact/hooks";

export function countAddress(visit: { bed: string; pest: string; stage: string; plants: number }): string {
  return `/write/count?bed=${encodeURIComponent(visit.bed)}&pest=${encodeURIComponent(visit.pest)}&stage=${encodeURIComponent(visit.stage)}&plants=${visit.plants}`;
}

function Entry({ bed, today }: { bed: BedView; today: string }) {
  const lead = bed.pests[0];
  return (
    <article class={`entry entry-${bed.urgency}`} aria-labelledby={`bed-${bed.bed}`}>
      <div class="entry-plate">{lead ? <PestGlyph pest={lead.pest} stage={lead.density?.stage ?? ""} /> : <TurnedLeaf />}</div>
      <div class="entry-text">
        <p class="entry-mark"><UrgencyMark urgency={bed.urgency} /></p>
        <h3 id={`bed-${bed.bed}`}><Link to={`/beds/${encodeURIComponent(bed.bed)}`}>{bed.headline.text}</Link></h3>
        {bed.do.length > 0 && <ul class="todo">{bed.do.map((one) => <li>{one.text}</li>)}</ul>}
      </div>
      {bed.pests.length > 0 && (
        <details>
          <summary>{t("pages.brief.why")}</summary>
          <BasisNote pests={bed.pests} />
          {bed.pests.map((pest) => <PestFigures pest={pest} today={today} level={4} />)}
        </details>
      )}
    </article>
  );
}

function Walk({ visits }: { visits: Visit[] }) {
  return (
    <section class="walk" aria-labelledby="walk-title">
      <h2 id="walk-title">{t("pages.brief.turn")}</h2>
      {visits.length === 0 ? <p>{t("pages.brief.turn_none")}</p> : (
        <ol class="walk-list">{visits.map((visit) => <WalkItem visit={visit} />)}</ol>
      )}
    </section>
  );
}

function WalkItem({ visit }: { visit: Visit }) {
  return (
    <li class="walk-item">
      <PestGlyph pest={visit.pest} stage={visit.stage} />
      <div>
        <p class="walk-where"><strong>{t("pages.common.bed", { bed: visit.bed })}</strong> · {visit.name}, {visit.stage_name}, {visit.place} <Minutes minutes={visit.minutes} /></p>
        <p>{visit.text}</p>
        {visit.look !== null && <p class="walk-look">{visit.look}</p>}
        <Link class="button button-quiet" to={countAddress(visit)}>{t("pages.brief.count_here")}<span class="sr-only">: {t("pages.common.bed", { bed: visit.bed })}, {visit.name}</span></Link>
      </div>
    </li>
  );
}

function BoardShort({ rows }: { rows: BoardRow[] }) {
  const limited = rows.filter((row) => row.pick !== "yes" || row.enter !== "yes");
  return (
    <section class="board-short" aria-labelledby="board-title">
      <h2 id="board-title">{t("pages.brief.board")}</h2>
      {limited.map((row) => (
        <div class="board-line">
          <p><strong>{t("pages.common.bed", { bed: row.bed })}</strong> {row.crop_name ?? ""}</p>
          <p class="answers"><AnswerWord answer={row.pick} about="pick" /> <AnswerWord answer={row.enter} about="enter" /></p>
          <p class="board-text">{row.text}</p>
        </div>
      ))}
      <p><Link to="/board">{t("pages.nav.board")}</Link></p>
    </section>
  );
}

export function BriefPage() {
  const [again, setAgain] = useState(0);
  const answer = useAnswer<Brief>("/api/brief", again);
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} again={() => setAgain(again + 1)} />;
  const brief = answer.value;
  const pressing = brief.beds.filter((bed) => bed.urgency !== "none" && bed.urgency !== "wait");
  const left = new Set(brief.leave.map((one) => one.bed));
  const quiet = brief.beds.filter((bed) => bed.urgency === "wait" && !left.has(bed.bed));
  return (
    <div class="spread">
      <Masthead title={longDay(brief.day)} garden={brief.garden} marked={brief.marked} at={brief.at} />
      <div class="page-left">
        <section aria-labelledby="beds-title">
          <h2 id="beds-title">{t("pages.brief.beds")}</h2>
          {pressing.length === 0 && <p>{t("pages.brief.all_well")}</p>}
          {[...pressing, ...quiet].map((bed) => <Entry bed={bed} today={brief.day} />)}
        </section>
      </div>
      <div class="page-right">
        <Walk visits={brief.walk} />
        {brief.deciding_count !== null && (
          <section class="deciding" aria-labelledby="deciding-title">
            <h2 id="deciding-title">{t("pages.brief.deciding")}</h2>
            <ul class="walk-list"><WalkItem visit={brief.deciding_count} /></ul>
          </section>
        )}
        <BoardShort rows={brief.board} />
        <section class="behind" aria-labelledby="weather-title">
          <h2 id="weather-title">{t("pages.brief.weather")}</h2>
          {brief.weather.gaps.map((gap) => <p>{t("pages.brief.gap", { first: day(gap.first), last: day(gap.last) })}</p>)}
          {brief.notes.map((note) => <p>{note.text}</p>)}
        </section>
        <Cautions cautions={brief.cautions} brief />
      </div>
      <div class="page-left">
        {brief.leave.length > 0 && (
          <section class="leave" aria-labelledby="leave-title">
            <h2 id="leave-title">{t("pages.brief.leave")}</h2>
            <ul class="leave-list">{brief.leave.map((one) => <li><Link to={`/beds/${encodeURIComponent(one.bed)}`}>{one.text}</Link></li>)}</ul>
          </section>
        )}
      </div>
    </div>
  );
}
