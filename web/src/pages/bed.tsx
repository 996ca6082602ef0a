// One bed: the brief's part about it, what could be done, what the cards refuse, and what was written down.
import { AnswerMark } from "../glyphs";
import { mayDo, mayPutRight, maySee } from "../may";
import { Failure, Link, Loading, Masthead, Minutes, OldNote, Reasons, UrgencyMark } from "../parts";
import { BasisNote, Known, PestFigures } from "../pest_figures";
import { day, dayAndTime, percent, t } from "../state";
import { unjudgedHere } from "../sync";
import { isOld, useLive } from "../use";
import { mayGoAhead } from "../verdict";
import { CompareSection } from "./compare";
import { outlookAddress } from "./outlook";
import { OpenPlans } from "./plan";
import { TodoList } from "./todo";
import type { BedPage as BedAnswer, BedView, HistoryLine, OptionView } from "../types";

function Option({ option, bed }: { option: OptionView; bed: string }) {
  const effect = option.efficacy;
  return (
    <li class="option">
      <p class="option-name"><strong>{option.name}</strong> <Minutes minutes={option.minutes} /></p>
      {effect !== null && (
        <p>
          {effect.low === effect.high ? t("pages.bed.efficacy_one", { low: percent(effect.low) }) : t("pages.bed.efficacy", { low: percent(effect.low), high: percent(effect.high) })}
          {option.stages.length > 0 && <> · {t("pages.bed.works_on", { stages: option.stages.map((stage) => t(`stage.${stage}`)).join(", ") })}</>}
          <Known of={effect} />
        </p>
      )}
      {option.why.map((one) => <p>{one.text}</p>)}
      {option.kind === "spray" && option.verdict !== null && (
        <>
          <p class={`verdict verdict-${option.verdict}`}>{t(`pages.spray.verdict_${option.verdict}`)}</p>
          <details><summary>{t("pages.spray.reasons")}</summary><Reasons reasons={option.reasons} /></details>
          {mayDo("treat") && <p><Link class="button button-quiet" to={`/write/spray?bed=${encodeURIComponent(bed)}&product=${encodeURIComponent(option.name)}&pest=${encodeURIComponent(option.pest)}`}>{t("pages.bed.spray_judge")}<span class="sr-only">: {option.name}</span></Link></p>}
        </>
      )}
    </li>
  );
}

function Clearance({ title, clear, text: told, at, bed }: { title: string; clear: string | null; text: string; at: string; bed: string }) {
  const here = unjudgedHere(bed) !== null;
  const said = clear === null ? "yes" : clear === "unknown" ? "unknown" : "no";
  const old = isOld(at) && said !== "no" && !here;
  const answer = here ? "no" : old ? "unknown" : said;
  const then = at === "" ? told : t("pages.sync.old_said", { when: dayAndTime(at), text: told });
  const text = here ? t("pages.sync.not_judged", { bed }) : old ? `${t("pages.sync.old")}. ${then}` : told;
  return (
    <p class={`clearance answer-${answer}`}>
      <AnswerMark answer={answer} />
      <span><strong>{title}:</strong> {text}</span>
    </p>
  );
}

// What to do today, and when one may pick and enter: the first things to know.
function Lead({ view, at }: { view: BedView; at: string }) {
  return (
    <>
      <section class="lead">
        <UrgencyMark urgency={view.urgency} />
        <p class="headline">{view.headline.text}</p>
        {view.do.length > 0 && (
          <>
            <h2>{t("pages.bed.do")}</h2>
            <TodoList lines={view.do} bed={view.bed} />
          </>
        )}
      </section>
      <section aria-labelledby="clear-title">
        <h2 id="clear-title">{t("pages.bed.clearance")}</h2>
        <Clearance title={t("pages.bed.harvest")} clear={view.harvest_clear} text={view.harvest_text} at={at} bed={view.bed} />
        <Clearance title={t("pages.bed.entry")} clear={view.entry_clear} text={view.entry_text} at={at} bed={view.bed} />
      </section>
    </>
  );
}

function Behind({ view, today }: { view: BedView; today: string }) {
  return (
    <>
      {view.pests.length > 0 && (
        <section aria-labelledby="pests-title">
          <h2 id="pests-title">{t("pages.bed.pests")}</h2>
          <BasisNote pests={view.pests} />
          {view.pests.map((pest) => (
            <>
              <PestFigures pest={pest} today={today} level={3} plate />
              {pest.density !== null && <p class="onward"><Link to={outlookAddress(view.bed, pest.pest)}>{t("pages.outlook.to_one")}<span class="sr-only">: {pest.name}</span></Link></p>}
            </>
          ))}
        </section>
      )}
      {view.options.length > 0 && (
        <section aria-labelledby="options-title">
          <h2 id="options-title">{t("pages.bed.options")}</h2>
          <ol class="options">{view.options.map((option) => <Option option={option} bed={view.bed} />)}</ol>
        </section>
      )}
      {view.planting !== null && (
        <>
          <CompareSection bed={view.bed} />
          <p class="onward"><Link to={`/beds/${encodeURIComponent(view.bed)}/pull`}>{t("pages.pull.link")}</Link></p>
        </>
      )}
      {view.refused.length > 0 && (
        <section aria-labelledby="refused-title">
          <h2 id="refused-title">{t("pages.bed.refused")}</h2>
          {view.refused.map((one) => (
            <div class="refused">
              <h3>{one.product}</h3>
              {mayGoAhead(one.verdict) ? <p class="verdict verdict-unknown">{t("pages.bed.no_effect")}</p> : <p class={`verdict verdict-${one.verdict}`}>{t(`pages.spray.verdict_${one.verdict}`)}</p>}
              <Reasons reasons={one.reasons.filter((reason) => reason.state === "refused" || reason.state === "unknown")} />
            </div>
          ))}
        </section>
      )}
    </>
  );
}

function PutRight({ amendment }: { amendment: NonNullable<HistoryLine["amendment"]> }) {
  const key = amendment.withdrawn ? "pages.bed.withdrawn" : "pages.bed.amended";
  const facts = { reason: amendment.reason, when: dayAndTime(amendment.at), by: amendment.by_name };
  return <span class="put-right">{t(amendment.by === "" ? key : `${key}_by`, facts)}</span>;
}

function Line({ line, bed }: { line: HistoryLine; bed: string }) {
  const said = <span>{line.text}{line.by !== "" && ` · ${line.by_name}`}</span>;
  return (
    <li>
      <time dateTime={line.at}>{dayAndTime(line.at)}</time>
      {line.clock !== null && <span class="history-clock">{line.clock.text}</span>}
      {line.amendment === null ? said : <><del>{said}</del> <PutRight amendment={line.amendment} /></>}
      {line.may_withdraw && mayPutRight(line.by) && (
        <Link class="undo" to={`/write/withdraw?bed=${encodeURIComponent(bed)}&id=${line.id}`}>{t("pages.bed.mistake")}<span class="sr-only">: {line.text}</span></Link>
      )}
    </li>
  );
}

function History({ lines, bed }: { lines: HistoryLine[]; bed: string }) {
  return (
    <section class="history" aria-labelledby="history-title">
      <h2 id="history-title">{t("pages.bed.history")}</h2>
      {lines.length === 0 && <p>{t("pages.bed.history_none")}</p>}
      <ul>
        {lines.map((line) => <Line line={line} bed={bed} />)}
      </ul>
      {lines.some((line) => line.kind === "application") && <p class="hint">{t("pages.bed.spray_stays")}</p>}
    </section>
  );
}

export function BedPage({ bed }: { bed: string }) {
  const answer = useLive<BedAnswer>(`/api/beds/${encodeURIComponent(bed)}`);
  if (answer === null) return <Loading />;
  if (!answer.ok) return <Failure error={answer.error} />;
  const page = answer.value;
  const query = `bed=${encodeURIComponent(bed)}`;
  return (
    <div class="spread">
      <Masthead title={t("pages.bed.title", { bed })} garden={page.garden} marked={page.marked} at={page.at} />
      <OldNote at={answer.at} />
      <div class="page-left">
        <OpenPlans plans={page.plans} bed={bed} />
        {page.brief !== null && <Lead view={page.brief} at={answer.at} />}
      </div>
      <div class="page-right">
        {mayDo("write") && <nav class="bed-write" aria-label={t("pages.bed.write")}>
          <h2>{t("pages.bed.write")}</h2>
          {["count", "work", "harvest", "spray", "planting"].filter((what) => maySee(`/write/${what}`)).map((what) => <Link class="button" to={`/write/${what}?${query}`}>{t(`pages.write.${what}`)}</Link>)}
          {page.brief?.urgency === "lock" && mayDo("release_bed") && <Link class="button" to={`/write/release?${query}`}>{t("pages.write.release")}</Link>}
        </nav>}
        <section aria-labelledby="plantings-title">
          <h2 id="plantings-title">{t("pages.bed.plantings")}</h2>
          {page.plantings.length === 0 && <p>{t("pages.common.empty_bed")}</p>}
          <ul class="plantings">
            {page.plantings.map((one) => (
              <li>
                <strong>{one.name}</strong> ({one.planting})
                {one.plants !== null && `, ${t("pages.bed.plants", { n: one.plants })}`}
                {one.set_out !== null && `, ${t("pages.bed.set_out", { day: day(one.set_out) })}`}
                {one.removed !== null && `, ${t("pages.bed.removed", { day: day(one.removed) })}`}
              </li>
            ))}
          </ul>
        </section>
      </div>
      <div class="page-left">{page.brief !== null && <Behind view={page.brief} today={page.at.slice(0, 10)} />}</div>
      <div class="page-right">
        <History lines={page.history} bed={bed} />
      </div>
    </div>
  );
}
