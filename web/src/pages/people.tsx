// For the lead: who may use the garden, and on which phones.
import { useEffect, useState } from "preact/hooks";
import { ask } from "../api";
import { Choice, Pick, TextField } from "../form_parts";
import { roleName } from "../may";
import { Failure, Loading } from "../parts";
import { type Person, type Role, roles, type Session } from "../people_types";
import { day, dayAndTime, t } from "../state";
import { useAnswer } from "../use";
import { CodePanel } from "./people_code";

// Does one thing on the server and says what came of it.
type Doing = (path: string, body: unknown, said: string) => Promise<boolean>;

function RoleChoice({ value, change }: { value: Role | ""; change: (role: Role) => void }) {
  return (
    <>
      <Pick<Role> label={t("pages.people.role")} value={value} change={change} options={roles.map((role) => ({ value: role, text: roleName(role) }))} />
      {value !== "" && <p class="hint role-hint">{t(`access.role_hint.${value}`)}</p>}
    </>
  );
}

function Add({ act, open }: { act: Doing; open: boolean }) {
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role | "">("");
  const add = async () => {
    if (!await act("/api/people", { name, role }, t("pages.people.added", { name: name.trim() }))) return;
    setName("");
    setRole("");
  };
  return (
    <details class="add-person" open={open}>
      <summary>{t("pages.people.add")}</summary>
      <form onSubmit={(event) => { event.preventDefault(); void add(); }}>
        <TextField label={t("pages.people.name")} hint={t("pages.people.name_hint")} value={name} change={setName} required />
        <RoleChoice value={role} change={setRole} />
        <button class="button button-main" disabled={name.trim() === "" || role === ""}>{t("pages.people.add_submit")}</button>
      </form>
    </details>
  );
}

function Devices({ sessions, act }: { sessions: Session[]; act: Doing }) {
  if (sessions.length === 0) return <p class="hint">{t("pages.people.phones_none")}</p>;
  return (
    <ul class="devices">
      {sessions.map((one) => (
        <li key={one.id}>
          <span><strong>{one.device}</strong> <span class="hint">{t("pages.people.seen", { when: dayAndTime(one.seen), day: day(one.ends) })}</span></span>
          <button type="button" class="button button-quiet" onClick={() => void act(`/api/sessions/${one.id}/revoke`, {}, t("pages.people.signed_out", { device: one.device }))}>
            {t("pages.people.sign_out")}<span class="sr-only">: {one.device}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}

function Erase({ person, act }: { person: Person; act: Doing }) {
  const [confirm, setConfirm] = useState("");
  return (
    <details class="erase">
      <summary>{t("pages.people.erase")}<span class="sr-only">: {person.name}</span></summary>
      <form class="consequence" onSubmit={(event) => { event.preventDefault(); void act(`/api/people/${person.id}/erase`, { confirm }, t("access.text.erased", { id: person.id })); }}>
        <p>{t("pages.people.erase_what", { name: person.name })}</p>
        <TextField label={t("pages.people.erase_confirm", { name: person.name })} value={confirm} change={setConfirm} required />
        <button class="button button-main button-grave" disabled={confirm.trim() !== person.name}>{t("pages.people.erase_submit")}</button>
      </form>
    </details>
  );
}

function One({ person, sessions, act, renew }: { person: Person; sessions: Session[]; act: Doing; renew: () => void }) {
  const [pairing, setPairing] = useState(false);
  return (
    <section class="person" aria-labelledby={`p-${person.id}`}>
      <h2 id={`p-${person.id}`}>{person.name} <span class="person-role">{roleName(person.role)}</span></h2>
      <h3>{t("pages.people.phones")}</h3>
      <Devices sessions={sessions} act={act} />
      {pairing
        ? <CodePanel person={person} had={sessions.map((one) => one.id)} close={() => setPairing(false)} paired={renew} />
        : <button type="button" class="button" onClick={() => setPairing(true)}>{t("pages.people.pair")}<span class="sr-only">: {person.name}</span></button>}
      <details>
        <summary>{t("pages.people.role_of", { name: person.name })}</summary>
        <Choice label={t("pages.people.role")} hint={t(`access.role_hint.${person.role}`)} value={person.role}
          change={(role) => { if (role !== "") void act(`/api/people/${person.id}`, { role }, t("pages.people.role_saved", { name: person.name, role: roleName(role) })); }}
          options={roles.map((role) => ({ value: role, text: roleName(role) }))} />
      </details>
      <Erase person={person} act={act} />
    </section>
  );
}

export function PeoplePage() {
  const [again, setAgain] = useState(0);
  const [said, setSaid] = useState<{ text: string; refused: boolean } | null>(null);
  const people = useAnswer<{ people: Person[] }>("/api/people", again);
  const sessions = useAnswer<{ sessions: Session[] }>("/api/sessions", again);
  // What is on the page stays there while it is asked anew: a code that is open must not vanish.
  const [shown, setShown] = useState<{ people: Person[]; sessions: Session[] } | null>(null);
  useEffect(() => {
    if (people?.ok === true && sessions?.ok === true) setShown({ people: people.value.people, sessions: sessions.value.sessions });
  }, [people, sessions]);
  const renew = () => setAgain((n) => n + 1);
  const act: Doing = async (path, body, text) => {
    const got = await ask<unknown>(path, body);
    setSaid(got.ok ? { text, refused: false } : { text: got.error?.text ?? t("pages.error.unreached"), refused: true });
    if (got.ok) renew();
    return got.ok;
  };
  if (people?.ok === false) return <Failure error={people.error} />;
  if (shown === null) return <Loading />;
  const here = shown.people.filter((one) => one.erased === null);
  const erased = shown.people.length - here.length;
  return (
    <div class="form people">
      <header class="masthead masthead-form">
        <h1>{t("pages.people.title")}</h1>
        <p class="intro">{t("pages.people.intro")}</p>
      </header>
      <div aria-live="polite">{said !== null && <div class={`ending ending-${said.refused ? "refused" : "saved"}`}><p>{said.text}</p></div>}</div>
      {here.length === 0 && <p>{t("pages.people.none")}</p>}
      {here.map((person) => (
        <One key={person.id} person={person} sessions={shown.sessions.filter((one) => one.person === person.id && one.live)} act={act} renew={renew} />
      ))}
      <Add act={act} open={here.length === 0} />
      {erased > 0 && <p class="hint">{t("pages.people.erased", { n: erased })}</p>}
    </div>
  );
}
