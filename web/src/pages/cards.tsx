// The label cards of this garden: what is in use, and every earlier text, which stays readable.
import { isLead } from "../may";
import { Failure, Link } from "../parts";
import { dayAndTime, t } from "../state";
import { useLive } from "../use";

export interface CardVersion {
  product: string;
  digest: string;
  copied: string;
  label_version: string;
  label_date: string | null;
  copied_by: string;
  copied_on: string | null;
  checked_by: string;
  checked_on: string | null;
  whole: boolean;
  in_use: boolean;
}

function Version({ card }: { card: CardVersion }) {
  const version = card.label_version === "" ? null : t("pages.cards.version", { version: card.label_version });
  return (
    <li class="card-version">
      <p>
        <Link to={`/cards/${card.digest}`}><strong>{card.product}</strong></Link>
        {version !== null && <span class="card-note"> {version}</span>}
      </p>
      <p class="hint">{t("pages.cards.came", { when: dayAndTime(card.copied) })}</p>
      <p class="hint">{t(card.whole ? "pages.cards.whole" : "pages.cards.short")} {card.checked_by === "" ? t("pages.cards.not_checked") : t("pages.cards.checked", { by: card.checked_by })}</p>
    </li>
  );
}

export function CardsPage() {
  const got = useLive<{ cards: CardVersion[] }>("/api/cards");
  if (got === null) return <p class="loading" role="status">…</p>;
  if (!got.ok) return <Failure error={got.error} />;
  const used = got.value.cards.filter((card) => card.in_use);
  const earlier = got.value.cards.filter((card) => !card.in_use);
  return (
    <div class="form cards">
      <header class="masthead masthead-form"><h1>{t("pages.cards.title")}</h1></header>
      <p>{t("pages.cards.intro")}</p>
      {isLead() && <p><Link to="/cards/new" class="button button-main">{t("pages.cards.new")}</Link></p>}
      {used.length === 0 && <p>{t("pages.cards.none")}</p>}
      <ul class="card-list">{used.map((card) => <Version card={card} />)}</ul>
      {earlier.length > 0 && (
        <details>
          <summary>{t("pages.cards.earlier", { n: earlier.length })}</summary>
          <p class="hint">{t("pages.cards.earlier_why")}</p>
          <ul class="card-list">{earlier.map((card) => <Version card={card} />)}</ul>
        </details>
      )}
    </div>
  );
}
