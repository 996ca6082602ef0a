// One label card, line by line in the order labels print them, for somebody with the container in the other hand. Each line says something,
// says that there is none, or isn't copied; what isn't copied is never permission.
import { useId, useState } from "preact/hooks";
import { ask } from "../api";
import { active, back, type Block, blockOf, cardText, conditions, type Draft, draftOf, emptyDraft, type Field, front, type Line, notCopied, notCopiedIn, people, type Said, use } from "../card_lines";
import { isLead } from "../may";
import { Failure, Link } from "../parts";
import { by, hasWord, t } from "../state";
import type { ApiError } from "../types";
import { useAnswer } from "../use";

interface Member { crop: string; name: string; known: string; left_out: boolean }
interface Look {
  digest: string;
  errors: { field: string; line: number; text: string }[];
  missing: string[];
  uses: { line: number; crops: { crop: string; name: string; members: Member[] }[] }[];
  text?: string;
  fields?: Record<string, unknown> | null;
}

function Input({ field, line, change, id, described }: { field: Field; line: Line; change: (value: string) => void; id: string; described: string }) {
  if (field.kind === "yes_no" || field.kind === "word") {
    const options = field.kind === "yes_no" ? ["yes", "no"] : field.words ?? [];
    return (
      <select id={id} value={line.value} aria-describedby={described} onChange={(event) => change(event.currentTarget.value)}>
        <option value="">{t("pages.common.choose")}</option>
        {options.map((one) => <option value={one} selected={one === line.value}>{field.kind === "yes_no" ? t(`pages.card.${one}`) : one}</option>)}
      </select>
    );
  }
  if (field.kind === "words") return <textarea id={id} rows={3} value={line.value} aria-describedby={described} onInput={(event) => change(event.currentTarget.value)} />;
  const common = {
    id, value: line.value, autocomplete: "off" as const, "aria-describedby": described,
    onInput: (event: { currentTarget: HTMLInputElement }) => change(event.currentTarget.value),
  };
  if (field.kind === "date") return <input type="date" {...common} />;
  return field.kind === "number" ? <input type="text" inputMode="decimal" {...common} /> : <input type="text" {...common} />;
}

function LineEdit({ field, line, change, errors, asLabelled }: { field: Field; line: Line; change: (line: Line) => void; errors: string[]; asLabelled: string }) {
  const id = useId();
  const name = t(`pages.card.line.${asLabelled}`);
  const hint = `pages.card.hint.${asLabelled}`;
  const say = (said: Said) => change(said === "says" ? { said, value: line.value } : { said, value: "" });
  return (
    <fieldset class={`card-line card-line-${field.always === true ? "says" : line.said}${errors.length > 0 ? " card-line-wrong" : ""}`}>
      <legend>{name}</legend>
      {hasWord(hint) && <p class="hint" id={`${id}-hint`}>{t(hint)}</p>}
      {field.always !== true && (
        <div class="pick-row">
          {(["says", "none", "not"] as const).map((said) => (
            <button type="button" class="pick-one card-said" aria-pressed={line.said === said} onClick={() => say(said)}>{t(`pages.card.${said}`)}</button>
          ))}
        </div>
      )}
      {(field.always === true || line.said === "says") && (
        <>
          <label class="sr-only" for={id}>{name}</label>
          <Input field={field} line={line} id={id} described={`${id}-hint ${id}-wrong`} change={(value) => change({ said: field.always === true && value === "" ? "not" : "says", value })} />
        </>
      )}
      <div id={`${id}-wrong`}>{errors.map((one) => <p class="warning">{one}</p>)}</div>
    </fieldset>
  );
}

function Section({ title, fields, block, change, path, errors, open = false }: {
  title: string; fields: Field[]; block: Block; change: (block: Block) => void; path: string; errors: Look["errors"]; open?: boolean;
}) {
  const left = notCopiedIn(fields, block);
  const wrong = errors.some((one) => fields.some((field) => one.field.startsWith(`${path}.${field.key.split(".")[0] ?? ""}`)));
  return (
    <details class="card-section" open={open || wrong}>
      <summary><h2>{title}</h2>{left > 0 && <span class="card-left">{t("pages.card.left", { n: left })}</span>}</summary>
      {fields.map((field) => (
        <LineEdit field={field} line={block[field.key] ?? notCopied} asLabelled={field.key.replace(".", "_")}
          change={(line) => change({ ...block, [field.key]: line })}
          errors={errors.filter((one) => one.field === `${path}.${field.key}` || one.field.startsWith(`${path}.${field.key}.`) || one.field === `${path}.${field.key.split(".")[0] ?? ""}` && field.key.endsWith(".min")).map((one) => one.text)} />
      ))}
    </details>
  );
}

function Groups({ look }: { look: Look }) {
  const groups = look.uses.flatMap((one) => one.crops.filter((crop) => crop.crop.startsWith("group:")));
  if (groups.length === 0) return null;
  return (
    <section class="card-groups">
      <h2>{t("pages.card.groups")}</h2>
      <p class="hint">{t("pages.card.groups_hint")}</p>
      {groups.map((group) => (
        <>
          <h3>{t("pages.spray.crop_group", { group: group.name })}</h3>
          {group.members.length === 0 ? <p class="warning">{t("pages.card.group_unknown")}</p> : (
            <ul>{group.members.map((one) => <li>{one.left_out ? <s>{one.name}</s> : one.name}{one.left_out ? ` (${t("pages.card.left_out")})` : ` (${one.known})`}</li>)}</ul>
          )}
        </>
      ))}
    </section>
  );
}

function Editor({ start, lead }: { start: Draft; lead: boolean }) {
  const [draft, setDraft] = useState<Draft>(start);
  const [look, setLook] = useState<Look | null>(null);
  const [failure, setFailure] = useState<ApiError | null | undefined>(undefined);
  const [kept, setKept] = useState(false);
  const [busy, setBusy] = useState(false);
  const errors = look?.errors ?? [];
  const change = (next: Partial<Draft>) => {
    setDraft({ ...draft, ...next });
    setKept(false);
  };
  const send = async (path: string) => {
    setBusy(true);
    setFailure(undefined);
    const text = cardText(draft);
    const seen = await ask<Look>("/api/cards/check", { text });
    if (seen.ok) setLook(seen.value);
    else setFailure(seen.error);
    if (seen.ok && seen.value.errors.length === 0 && path === "/api/cards") {
      const sent = await ask<{ receipt: unknown }>(path, { text, by: by.value });
      if (sent.ok) setKept(true);
      else setFailure(sent.error);
    }
    setBusy(false);
  };
  const replace = (list: Block[], at: number, block: Block) => list.map((one, i) => (i === at ? block : one));
  const part = (title: string, fields: Field[], open = false) => (
    <Section title={title} fields={fields} block={draft.card} path="card" errors={errors} open={open} change={(card) => change({ card })} />
  );
  return (
    <form class="form card-form" onSubmit={(event) => { event.preventDefault(); void send("/api/cards"); }}>
      {part(t("pages.card.front"), front, true)}
      {draft.actives.map((block, i) => (
        <Section title={t("pages.card.active", { n: i + 1 })} fields={active} block={block} path={`active[${i + 1}]`} errors={errors}
          change={(one) => change({ actives: replace(draft.actives, i, one) })} />
      ))}
      <p><button type="button" class="button" onClick={() => change({ actives: [...draft.actives, blockOf(active)] })}>{t("pages.card.more_actives")}</button></p>
      {part(t("pages.card.people"), people)}
      <Section title={t("pages.card.conditions")} fields={conditions} block={draft.conditions} path="conditions" errors={errors} change={(one) => change({ conditions: one })} />
      {draft.uses.map((block, i) => (
        <Section title={t("pages.card.use", { n: i + 1 })} fields={use} block={block} path={`use[${i + 1}]`} errors={errors}
          change={(one) => change({ uses: replace(draft.uses, i, one) })} />
      ))}
      <p><button type="button" class="button" onClick={() => change({ uses: [...draft.uses, blockOf(use)] })}>{t("pages.card.more_uses")}</button></p>
      {part(t("pages.card.back"), back)}
      {(draft.card["checked_by"]?.value ?? "") === "" && <p class="warning">{t("pages.card.second_person")}</p>}
      {look !== null && look.errors.length > 0 && <p class="warning" role="alert">{t("pages.card.wrong", { n: look.errors.length })}</p>}
      {look !== null && look.errors.length === 0 && (
        <p role="status">{look.missing.length === 0 ? t("pages.card.all_copied") : t("pages.card.missing", { n: look.missing.length })}</p>
      )}
      {look !== null && <Groups look={look} />}
      {failure !== undefined && <Failure error={failure} />}
      {kept && <p class="ending ending-saved" role="status">{t("pages.card.kept")} <Link to="/cards" class="button">{t("pages.cards.title")}</Link></p>}
      {lead && (
        <div class="buttons card-send">
          <button type="button" class="button" disabled={busy} onClick={() => void send("/api/cards/check")}>{t("pages.card.check")}</button>
          <button class="button button-main" disabled={busy}>{busy ? t("pages.common.saving") : t("pages.card.keep")}</button>
        </div>
      )}
    </form>
  );
}

export function CardPage({ card }: { card: string }) {
  const fresh = card === "new";
  const got = useAnswer<Look>(fresh ? null : `/api/cards/${card}`);
  if (!fresh && got === null) return <p class="loading" role="status">…</p>;
  if (got !== null && !got.ok) return <Failure error={got.error} />;
  const file = got?.ok === true ? got.value.fields : null;
  const start = file === null || file === undefined ? emptyDraft() : draftOf(file);
  const product = start.card["product"]?.value ?? "";
  return (
    <div class="card-page">
      <header class="masthead masthead-form"><h1>{fresh ? t("pages.card.new") : product}</h1></header>
      <p>{t("pages.card.intro")}</p>
      {!fresh && <p class="hint">{t("pages.card.stays")}</p>}
      <Editor start={start} lead={isLead()} key={card} />
      {got?.ok === true && <Groups look={got.value} />}
      <p><Link to="/cards" class="button">{t("pages.cards.title")}</Link></p>
    </div>
  );
}
