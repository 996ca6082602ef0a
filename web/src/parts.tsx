// Pieces that several pages share.
import type { ComponentChildren } from "preact";
import { AnswerMark, Mark } from "./glyphs";
import { dayAndTime, go, hasWord, t } from "./state";
import type { Answer, ApiError, RuleReason, Urgency } from "./types";
import { isOld } from "./use";

export function Link({ to, class: name, children, current }: { to: string; class?: string; children: ComponentChildren; current?: boolean }) {
  const follow = (event: MouseEvent) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
    event.preventDefault();
    go(keepTime(to));
  };
  return (
    <a href={keepTime(to)} class={name} onClick={follow} aria-current={current ? "page" : undefined}>
      {children}
    </a>
  );
}

// A question about another time stays about that time from page to page.
function keepTime(to: string): string {
  const at = new URL(location.href).searchParams.get("at");
  if (at === null) return to;
  const url = new URL(to, location.origin);
  url.searchParams.set("at", at);
  return url.pathname + url.search;
}

export function UrgencyMark({ urgency }: { urgency: Urgency }) {
  return (
    <span class={`urgency urgency-${urgency}`}>
      <Mark urgency={urgency} />
      <span>{t(`pages.urgency.${urgency}`)}</span>
    </span>
  );
}

// `old`: told over an hour ago. A 'yes' or 'not known' of then says nothing now; a 'no' stays one.
export function AnswerWord({ answer, about, old = false }: { answer: Answer; about: "pick" | "enter"; old?: boolean }) {
  if (old && answer !== "no") {
    return (
      <span class="answer answer-unknown">
        <AnswerMark answer="unknown" />
        <span>{t("pages.sync.old")}</span>
      </span>
    );
  }
  return (
    <span class={`answer answer-${answer}`}>
      <AnswerMark answer={answer} />
      <span>{t(`pages.board.${about}_${answer}`)}</span>
    </span>
  );
}

export function Loading() {
  return <p class="loading" role="status">{t("pages.common.loading")}</p>;
}

export function Failure({ error, again }: { error: ApiError | null; again?: () => void }) {
  return (
    <div class="failure" role="alert">
      <h2>{t("pages.error.title")}</h2>
      <p>{error === null ? t("pages.error.unreached") : error.text}</p>
      {again && <button type="button" class="button" onClick={again}>{t("pages.common.retry")}</button>}
    </div>
  );
}

// The mark of a garden that is not real, the time a page speaks about, and the garden's name.
export function Masthead({ title, garden, marked, at }: { title: string; garden: string; marked: string | null; at: string }) {
  return (
    <header class="masthead">
      <p class="masthead-garden">{garden}</p>
      <h1>{title}</h1>
      <p class="masthead-at">{t("pages.common.at", { when: dayAndTime(at) })}</p>
      {marked !== null && <p class="marked">{t("pages.common.marked_invented")}</p>}
    </header>
  );
}

// Where no product is in hand yet, the first caution is shown and the rest is a tap away; on paper and beside a verdict all are.
export function Cautions({ cautions, brief = false }: { cautions: string[]; brief?: boolean }) {
  if (cautions.length === 0) return null;
  const rest = brief ? cautions.slice(1) : [];
  return (
    <aside class="cautions" aria-labelledby="cautions-title">
      <h2 id="cautions-title">{t("pages.common.cautions")}</h2>
      <ul>{(brief ? cautions.slice(0, 1) : cautions).map((text) => <li>{text}</li>)}</ul>
      {rest.length > 0 && <details><summary>{t("pages.common.cautions_all")}</summary><ul>{rest.map((text) => <li>{text}</li>)}</ul></details>}
    </aside>
  );
}

export function OldNote({ at }: { at: string }) {
  if (!isOld(at)) return null;
  const when = at === "" ? t("pages.common.some_time") : dayAndTime(at);
  return <p class="warning old-note" role="status"><strong>{t("pages.sync.old")}.</strong> {t("pages.sync.old_why", { when })}</p>;
}

export function knownWord(known: string): string {
  return hasWord(`known.${known}`) ? t(`known.${known}`) : known;
}

export function Reasons({ reasons }: { reasons: RuleReason[] }) {
  return (
    <ul class="reasons">
      {reasons.map((reason) => (
        <li class={`reason reason-${reason.state}`}>
          <span class="reason-state">{t(reason.rule === "effect" ? "pages.spray.state_effect" : `pages.spray.state_${reason.state}`)}</span>
          <span class="reason-text">
            {reason.text}
            {reason.card_field !== "" && (
              <span class="reason-field">
                {" "}({reason.card_line === null || reason.card_line === 0 ? t("pages.bed.card_line", { field: reason.card_field })
                  : t("pages.bed.card_line_n", { line: reason.card_line, field: reason.card_field })})
              </span>
            )}
            {typeof reason.remedy === "string" && <span class="reason-remedy">{reason.remedy}</span>}
          </span>
        </li>
      ))}
    </ul>
  );
}

export function Minutes({ minutes }: { minutes: number | null }) {
  return minutes !== null && minutes > 0 ? <span class="minutes">{t("pages.common.minutes", { n: minutes })}</span> : null;
}
