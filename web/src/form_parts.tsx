// Fields of the pages that write something down.
import type { ComponentChildren } from "preact";
import { useId, useState } from "preact/hooks";
import { civilAt, civilOf, isoAt, minutesBefore, withOffset } from "./clock";
import { type Moment, receiptSeq } from "./events";
import { clock } from "./heard";
import { minute } from "./news";
import { isLead } from "./may";
import { Link } from "./parts";
import type { Person } from "./people_types";
import { wrongBy } from "./phone_clock";
import { refusalText, type Sent } from "./queue";
import { by, onePage, remember, signedFor, t } from "./state";
import { me } from "./sync";
import { span } from "./sync_view";
import type { GardenView } from "./types";
import { useAnswer } from "./use";

export function Field({ label, hint, children }: { label: string; hint?: string; children: (id: string, hintId: string | undefined) => ComponentChildren }) {
  const id = useId();
  const hintId = hint === undefined ? undefined : `${id}-hint`;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint !== undefined && <p class="hint" id={hintId}>{hint}</p>}
      {children(id, hintId)}
    </div>
  );
}

export function TextField({ label, hint, value, change, type = "text", required = false }: {
  label: string; hint?: string; value: string; change: (value: string) => void; type?: "text" | "date" | "number" | "datetime-local"; required?: boolean;
}) {
  return (
    <Field label={label} {...(hint === undefined ? {} : { hint })}>
      {(id, hintId) => {
        const common = {
          id, value, required, "aria-describedby": hintId, autocomplete: "off" as const,
          onInput: (event: { currentTarget: HTMLInputElement }) => change(event.currentTarget.value),
        };
        if (type === "number") return <input type="number" min={0} step="any" inputMode="decimal" {...common} />;
        if (type === "date") return <input type="date" {...common} />;
        if (type === "datetime-local") return <input type="datetime-local" {...common} />;
        return <input type="text" {...common} />;
      }}
    </Field>
  );
}

export function Choice({ label, hint, value, change, options }: {
  label: string; hint?: string; value: string; change: (value: string) => void; options: { value: string; text: string }[];
}) {
  return (
    <Field label={label} {...(hint === undefined ? {} : { hint })}>
      {(id, hintId) => (
        <select id={id} aria-describedby={hintId} value={value} onChange={(event) => change(event.currentTarget.value)}>
          <option value="">{t("pages.common.choose")}</option>
          {options.map((option) => <option value={option.value} selected={option.value === value}>{option.text}</option>)}
        </select>
      )}
    </Field>
  );
}

export function BedChoice({ garden, value, change }: { garden: GardenView; value: string; change: (bed: string) => void }) {
  const options = garden.beds.map((bed) => ({
    value: bed.bed,
    text: `${bed.bed} · ${bed.plantings.length === 0 ? t("pages.common.empty_bed") : bed.plantings.map((planting) => planting.name).join(", ")}`,
  }));
  return <Choice label={t("pages.common.bed_label")} value={value} change={change} options={options} />;
}

// Buttons of which one is pressed: large enough for a thumb in a glove.
export function Pick<T extends string>({ label, value, change, options }: {
  label: string; value: T | ""; change: (value: T) => void; options: { value: T; text: string; glyph?: ComponentChildren }[];
}) {
  return (
    <fieldset class="pick">
      <legend>{label}</legend>
      <div class="pick-row">
        {options.map((option) => (
          <button type="button" class="pick-one" aria-pressed={option.value === value} onClick={() => change(option.value)}>
            {option.glyph}
            <span>{option.text}</span>
          </button>
        ))}
      </div>
    </fieldset>
  );
}

export function Confirm({ label, value, change }: { label: string; value: boolean; change: (value: boolean) => void }) {
  return (
    <label class="confirm">
      <input type="checkbox" checked={value} onChange={(event) => change(event.currentTarget.checked)} />
      <span>{label}</span>
    </label>
  );
}

export interface When {
  civil: string;
  set: (civil: string) => void;
  moment: () => Moment; // what the event says
  instant: () => string; // what a question asks about: our best guess of the garden's own clock
}

// When it happened. Untouched, this device's clock now, to the millisecond, with how far it is off (phone_clock.ts); as typed by a person,
// that person's word. A garden with a day of its own, or a page about another time, has that for its now. `minutesAgo`: what is already over
// was not now.
export function useWhen(garden: GardenView, minutesAgo = 0): When {
  const [typed, set] = useState<string | null>(null);
  const asked = new URL(location.href).searchParams.get("at") !== null;
  const own = garden.own_day !== null || asked;
  minute.value; // the field's time goes on
  const now = () => Date.now() - minutesAgo * 60_000;
  const civil = typed ?? (own ? minutesBefore(civilOf(garden.at), minutesAgo) : civilAt(now(), garden.zone, garden.at).slice(0, 16));
  const said = (): string => {
    if (typed !== null) return withOffset(typed, garden.zone, garden.at);
    if (own) return minutesAgo === 0 ? garden.at : withOffset(civil, garden.zone, garden.at);
    return isoAt(now(), garden.zone, garden.at);
  };
  const offset = clock.offsetMs();
  const byClock = typed === null && !own && offset !== null;
  return {
    civil, set,
    moment: () => ({ happened_at: said(), ...(byClock ? { clock_offset_s: Math.round(offset / 1000) } : {}) }),
    instant: () => (byClock ? isoAt(now() - offset, garden.zone, garden.at) : said()),
  };
}

// A clock that is off is said where its time is written down.
function ClockNote() {
  minute.value;
  const offset = clock.offsetMs();
  if (offset === null || Math.abs(offset) < wrongBy) return null;
  return <p class="hint clock-note">{t(offset > 0 ? "pages.sync.clock_ahead" : "pages.sync.clock_behind", { span: span(offset) })} {t("pages.sync.clock_typed")}</p>;
}

// Who did it: a paired device's person; a lead chooses, as paper notes get copied; on a computer that knows of no people, what is typed.
export function WhoField() {
  const lead = !onePage.value && me.value !== null && isLead();
  const asked = useAnswer<{ people: Person[] }>(lead ? "/api/people" : null);
  const people = asked?.ok === true ? asked.value.people.filter((one) => one.erased === null) : [];
  const own = me.value?.person ?? null;
  if (own !== null && people.length === 0) return <p class="hint">{t("pages.common.by_paired", { name: me.value?.name ?? own })}</p>;
  const type = (value: string) => {
    by.value = value;
    remember("by", value);
  };
  if (people.length === 0) return <TextField label={t("pages.common.by_label")} hint={t("pages.common.by_hint")} value={by.value} change={type} />;
  const options = people.map((one) => ({ value: one.id, text: one.name }));
  if (own === null && by.value !== "" && !people.some((one) => one.id === by.value)) options.push({ value: by.value, text: by.value });
  return own === null
    ? <Choice label={t("pages.me.writes_for")} value={by.value} change={type} options={options} />
    : <Choice label={t("pages.me.writes_for")} value={signedFor.value ?? own} change={(id) => { signedFor.value = id === "" || id === own ? null : id; }} options={options} />;
}

export function WhenAndWho({ civil, set, label }: { civil: string; set: (civil: string) => void; label?: string }) {
  return (
    <div class="when-who">
      <TextField label={label ?? t("pages.common.day_label")} type="datetime-local" value={civil} change={set} required />
      <ClockNote />
      <WhoField />
    </div>
  );
}

export interface Ending {
  state: "saved" | "waiting" | "refused";
  text: string;
}

export function endingOf(sent: Sent): Ending {
  if (sent.kind === "sent" && sent.answer.receipt.kind === "quarantined") return { state: "waiting", text: t("pages.common.quarantined") };
  if (sent.kind === "sent" && sent.answer.judged?.verdict === "outside_label") return { state: "refused", text: t("pages.common.judged_outside") };
  if (sent.kind === "sent") return { state: "saved", text: t("pages.common.saved", { seq: receiptSeq(sent) ?? "" }) };
  if (sent.kind === "unreached") return { state: "waiting", text: t("pages.common.saved_waiting") };
  if (sent.kind === "unpaired") return { state: "waiting", text: t("pages.common.saved_unpaired") };
  if (sent.kind === "unkept") return { state: "refused", text: t("pages.common.not_kept") };
  return { state: "refused", text: refusalText(sent.answer) };
}

// Several events of one form, told as one ending: the worst of them.
export function worstEnding(endings: Ending[]): Ending {
  return endings.find((one) => one.state === "refused") ?? endings.find((one) => one.state === "waiting") ?? endings[endings.length - 1] ?? { state: "saved", text: "" };
}

export function EndingNote({ ending, bed }: { ending: Ending | null; bed: string }) {
  if (ending === null) return null;
  return (
    <div class={`ending ending-${ending.state}`} role={ending.state === "refused" ? "alert" : "status"}>
      <p>{ending.text}</p>
      {ending.state === "saved" && !onePage.value && (
        <p class="ending-links">
          {bed !== "" && <Link to={`/beds/${encodeURIComponent(bed)}`}>{t("pages.common.to_bed", { bed })}</Link>}
          <Link to="/">{t("pages.common.to_brief")}</Link>
        </p>
      )}
    </div>
  );
}

export function FormHead({ title, garden, intro }: { title: string; garden: GardenView; intro?: string }) {
  return (
    <header class="masthead masthead-form">
      <p class="masthead-garden">{garden.name}</p>
      <h1>{title}</h1>
      {garden.marked !== null && <p class="marked">{t("pages.common.marked_invented")}</p>}
      {intro !== undefined && <p class="intro">{intro}</p>}
    </header>
  );
}

export function wanted(name: string): string {
  return new URL(location.href).searchParams.get(name) ?? "";
}
