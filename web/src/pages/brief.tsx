// The morning brief: what to do today, worst bed first, each in one sentence with its reason.
import { PestGlyph, TurnedLeaf } from "../glyphs";
import { mayDo } from "../may";
import { AnswerWord, Cautions, Failure, Link, Loading, Masthead, Minutes, OldNote, UrgencyMark } from "../parts";
import { BasisNote, PestFigures } from "../pest_figures";
import { day, longDay, t } from "../state";
import { isOld, useLive } from "../use";
import type { BedView, BoardRow, Brief, Visit } from "../types";
import { closedHere } from "./board";
import { TodoList } from "./todo";
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
        {bed.do.length > 0 && <TodoList lines={bed.do} bed={bed.bed} />}
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

// A bed to look at, or one that can wait: its sentence alone; why, and how sure, is on the bed's own page.
function Short({ bed }: { bed: BedView }) {
  const lead = bed.pests[0];
  return (
    <li class={`short entry-${bed.urgency}`}>
      {lead ? <PestGlyph pest={lead.pest} stage={lead.density?.stage ?? ""} /> : <TurnedLeaf />}
      <div>
        <UrgencyMark urgency={bed.urgency} />
        <h3><Link to={`/beds/${encodeURIComponent(bed.bed)}`}>{bed.headline.text}</Link></h3>
      </div>
    </li>
  );
}

// On a phone, the whole morning in four lines: each number leads to its place on the page.
function Glance({ brief }: { brief: Brief }) {
  const of = (urgency: string) => brief.beds.filter((bed) => bed.urgency === urgency).map((bed) => ({ bed: bed.bed, to: `#bed-${bed.bed}` }));
  const lines = [
    { label: t("pages.urgency.lock"), beds: of("lock") },
    { label: t("pages.urgency.act"), beds: of("act") },
    { label: t("pages.brief.turn"), beds: brief.walk.map((visit, index) => ({ bed: visit.bed, to: `#leaf-${index}` })) },
    { label: t("pages.brief.held"), beds: brief.board.filter((row) => row.pick !== "yes" || row.enter !== "yes").map((row) => ({ bed: row.bed, to: "#board-title" })) },
  ].filter((line) => line.beds.length > 0);
  return (
    <nav class="glance" aria-label={t("pages.brief.glance")}>
      {lines.map((line) => (
        <p>
          <span>{line.label}</span>
          <span class="glance-beds">
            {line.beds.map((one) => <a href={one.to}><span class="sr-only">{line.label}: </span>{t("pages.common.bed", { bed: one.bed })}</a>)}
          </span>
        </p>
      ))}
    </nav>
  );
}

function Walk({ visits }: { visits: Visit[] }) {
  return (
    <section class="walk" aria-labelledby="walk-title">
      <h2 id="walk-title">{t("pages.brief.turn")}</h2>
      {visits.length === 0 ? <p>{t("pages.brief.turn_none")}</p> : (
        <ol class="walk-list">{visits.map((visit, index) => <WalkItem visit={visit} id={`leaf-${index}`} />)}</ol>
      )}
    </section>
  );
}

function WalkItem({ visit, id }: { visit: Visit; id?: string }) {
  return (
    <li class="walk-item" id={id}>
      <PestGlyph pest={visit.pest} stage={visit.stage} />
      <div>
        <p class="walk-where"><strong>{t("pages.common.bed", { bed: visit.bed })}</strong> · {visit.name}, {visit.stage_name}, {visit.place} <Minutes minutes={visit.minutes} /></p>
        <p>{visit.text}</p>
        {visit.look !== null && <p class="walk-look">{visit.look}</p>}
        {mayDo("write_count") && <Link class="button button-quiet" to={countAddress(visit)}>{t("pages.brief.count_here")}<span class="sr-only">: {t("pages.common.bed", { bed: visit.bed })}, {visit.name}</span></Link>}
      </div>
    </li>
  );
}

function BoardShort({ rows: told, old }: { rows: BoardRow[]; old: boolean }) {
  const rows = told.map(closedHere);
  const limited = rows.filter((row) => row.pick !== "yes" || row.enter !== "yes");
  return (
    <section class="board-short" aria-labelledby="board-title">
      <h2 id="board-title">{t("pages.brief.board")}</h2>
      {limited.map((row) => (
        <div class="board-line">
          <p><strong>{t("pages.common.bed", { bed: row.bed })}</strong> {row.crop_name ?? ""}</p>
          <p class="answers"><AnswerWord answer={row.pick} about="pick" old={old} /> <AnswerWord answer={row.enter} about="enter" old={old} /></p>
          <p class="board-text">{row.text}</p>
        </div>
      ))}
      <p><Link to="/board">{t("pages.nav.board")}</Link></p>
    </section>
  );
}

export function BriefPage() {
  const [again, setAgain] = useState(0);
  const answer = useLive<Brief>("/api/brief", again);
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} again={() => setAgain(again + 1)} />;
  const brief = answer.value;
  const left = new Set(brief.leave.map((one) => one.bed));
  const pressing = brief.beds.filter((bed) => bed.urgency === "lock" || bed.urgency === "act");
  const others = [...brief.beds.filter((bed) => bed.urgency === "look"), ...brief.beds.filter((bed) => bed.urgency === "wait" && !left.has(bed.bed))];
  return (
    <div class="spread">
      <Masthead title={longDay(brief.day)} garden={brief.garden} marked={brief.marked} at={brief.at} />
      <OldNote at={answer.at} />
      <Glance brief={brief} />
      <section class="page-left" aria-labelledby="beds-title">
        <h2 id="beds-title">{t("pages.brief.beds")}</h2>
        {pressing.length === 0 && <p>{t(others.length === 0 ? "pages.brief.all_well" : "pages.brief.nothing_pressing")}</p>}
        {pressing.map((bed) => <Entry bed={bed} today={brief.day} />)}
        <p class="onward"><Link to="/outlook">{t("pages.outlook.to_list")}</Link></p>
      </section>
      <div class="page-right">
        <Walk visits={brief.walk} />
        {brief.deciding_count !== null && (
          <section class="deciding" aria-labelledby="deciding-title">
            <h2 id="deciding-title">{t("pages.brief.deciding")}</h2>
            <ul class="walk-list"><WalkItem visit={brief.deciding_count} /></ul>
          </section>
        )}
      </div>
      <div class="page-left">
        {others.length > 0 && (
          <section aria-labelledby="others-title">
            <h2 id="others-title">{t("pages.brief.others")}</h2>
            <ul class="shorts">{others.map((bed) => <Short bed={bed} />)}</ul>
          </section>
        )}
        {brief.leave.length > 0 && (
          <section class="leave" aria-labelledby="leave-title">
            <h2 id="leave-title">{t("pages.brief.leave")}</h2>
            <ul class="leave-list">{brief.leave.map((one) => <li><Link to={`/beds/${encodeURIComponent(one.bed)}`}>{one.text}</Link></li>)}</ul>
          </section>
        )}
      </div>
      <div class="page-right">
        <BoardShort rows={brief.board} old={isOld(answer.at)} />
        <section class="behind" aria-labelledby="weather-title">
          <h2 id="weather-title">{t("pages.brief.weather")}</h2>
          {brief.weather.gaps.map((gap) => <p>{t("pages.brief.gap", { first: day(gap.first), last: day(gap.last) })}</p>)}
          {brief.notes.map((note) => <p>{note.text}</p>)}
        </section>
        <Cautions cautions={brief.cautions} brief />
      </div>
    </div>
  );
}
