// The frame of every page: navigation, what waits to be sent, and the page the address asks for.
import { render } from "preact";
import { useEffect } from "preact/hooks";
import { get } from "./api";
import { paired } from "./heard";
import { mayDo, maySee, roleName } from "./may";
import { Link } from "./parts";
import { BedPage } from "./pages/bed";
import { BoardPage } from "./pages/board";
import { BriefPage } from "./pages/brief";
import { CardPage } from "./pages/card";
import { CardsPage } from "./pages/cards";
import { OutlookPage } from "./pages/outlook";
import { OutlookOnePage } from "./pages/outlook_one";
import { PairPage } from "./pages/pair";
import { PeoplePage } from "./pages/people";
import { PullPage } from "./pages/pull";
import { RecordsPage } from "./pages/records";
import { SeasonPage } from "./pages/season";
import { SeasonsPage } from "./pages/seasons";
import { SettingsPage } from "./pages/settings";
import { WeatherPage } from "./pages/weather";
import { WritePage } from "./pages/write";
import { SyncPage } from "./pages/sync";
import { startNews } from "./news";
import { hasWord, language, path, t, words } from "./state";
import { known, me, startSync } from "./sync";
import { LocksHere, SyncLine } from "./sync_view";
import { keepPagesOffline } from "./worker_home";
import "./styles/main.css";

function titleOf(where: string): string {
  if (where === "/board") return t("pages.board.title");
  if (where === "/settings") return t("pages.settings.title");
  if (where === "/pair") return t("pages.pair.title");
  if (where === "/people") return t("pages.people.title");
  if (where === "/records") return t("pages.records.title");
  if (!maySee(where)) return t(where === "/" ? "pages.board.title" : "pages.me.not_yours");
  if (where === "/sync") return t("pages.sync.title");
  if (where === "/cards/new") return t("pages.card.new");
  if (where.startsWith("/cards")) return t("pages.cards.title");
  const pest = /^\/seasons\/([^/]+)$/.exec(where)?.[1];
  if (pest !== undefined && hasWord(`pest.${pest}.name`)) return t("pages.season.of", { pest: t(`pest.${pest}.name`) });
  if (where.startsWith("/seasons")) return t("pages.season.title");
  if (where === "/weather") return t("pages.weather.title");
  const outlook = /^\/outlook\/([^/]+)\/([^/]+)$/.exec(where);
  if (outlook !== null) return t("pages.outlook.of", { bed: decodeURIComponent(outlook[1] ?? ""), pest: t(`pest.${outlook[2] ?? ""}.name`) });
  if (where === "/outlook") return t("pages.outlook.title");
  const pulled = /^\/beds\/([^/]+)\/pull$/.exec(where)?.[1];
  if (pulled !== undefined) return `${t("pages.bed.title", { bed: decodeURIComponent(pulled) })}: ${t("pages.pull.link")}`;
  const bed = /^\/beds\/([^/]+)$/.exec(where);
  if (bed !== null) return t("pages.bed.title", { bed: decodeURIComponent(bed[1] ?? "") });
  const what = /^\/write\/([^/]+)$/.exec(where)?.[1];
  if (what !== undefined) {
    const key = what === "menu" ? "title" : what === "outside-label" ? "outside" : what;
    return t(`pages.write.${key}`);
  }
  return t("pages.brief.title");
}

function NotYours() {
  return (
    <div class="form">
      <header class="masthead masthead-form"><h1>{t("pages.me.not_yours")}</h1></header>
      <p>{t("pages.me.not_yours_do", { role: roleName(me.value?.role ?? "reader") })}</p>
      <p><Link to="/board" class="button">{t("pages.nav.board")}</Link></p>
    </div>
  );
}

function Page({ where }: { where: string }) {
  if (where === "/pair") return <PairPage />;
  if (where === "/people") return maySee(where) ? <PeoplePage /> : <NotYours />;
  // Who has no brief begins at the shed board.
  if (where === "/" && !maySee(where)) return <BoardPage />;
  if (!maySee(where)) return <NotYours />;
  if (where === "/") return <BriefPage />;
  if (where === "/board") return <BoardPage />;
  if (where === "/records") return <RecordsPage />;
  if (where === "/settings") return <SettingsPage />;
  if (where === "/sync") return <SyncPage />;
  if (where === "/cards") return <CardsPage />;
  const card = /^\/cards\/([^/]+)$/.exec(where);
  if (card !== null) return <CardPage card={card[1] ?? ""} key={where} />;
  if (where === "/seasons") return <SeasonsPage />;
  if (where === "/weather") return <WeatherPage />;
  if (where === "/outlook") return <OutlookPage />;
  const outlook = /^\/outlook\/([^/]+)\/([^/]+)$/.exec(where);
  if (outlook !== null) return <OutlookOnePage bed={decodeURIComponent(outlook[1] ?? "")} pest={decodeURIComponent(outlook[2] ?? "")} key={where} />;
  const season = /^\/seasons\/([^/]+)$/.exec(where);
  if (season !== null) return <SeasonPage pest={decodeURIComponent(season[1] ?? "")} key={where} />;
  const pulled = /^\/beds\/([^/]+)\/pull$/.exec(where)?.[1];
  if (pulled !== undefined) return <PullPage bed={decodeURIComponent(pulled)} key={where} />;
  const bed = /^\/beds\/([^/]+)$/.exec(where);
  if (bed !== null) return <BedPage bed={decodeURIComponent(bed[1] ?? "")} key={where} />;
  const write = /^\/write\/([^/]+)$/.exec(where);
  if (write !== null) return <WritePage what={write[1] ?? ""} key={path.value} />;
  return <p class="failure">{t("pages.error.not_found")}</p>;
}

function Nav({ where }: { where: string }) {
  const garden = mayDo("see_garden");
  return (
    <nav class="main-nav" aria-label="leafturn">
      <Link to="/" class="brand" current={false}><Brand /><span class="sr-only">{t("pages.nav.home")}</span></Link>
      {garden && <Link to="/" current={where === "/"}>{t("pages.nav.brief")}</Link>}
      <Link to="/board" current={where === "/board" || (where === "/" && !garden)}>{t("pages.nav.board")}</Link>
      {garden && <Link to="/seasons" current={where.startsWith("/seasons") || where === "/weather"}>{t("pages.nav.seasons")}</Link>}
      {mayDo("write") && <Link to="/write/menu" current={where.startsWith("/write/")}>{t("pages.nav.write")}</Link>}
      <Link to="/settings" current={where === "/settings" || where === "/people" || where === "/records"}>{t("pages.nav.settings")}</Link>
    </nav>
  );
}

// Before it is paired a device is shown one page and no way to others.
function Top({ where }: { where: string }) {
  if (where === "/pair" && !paired.value) return <p class="main-nav"><span class="brand"><Brand /></span></p>;
  return (
    <>
      <Nav where={where} />
      <SyncLine />
      <LocksHere />
    </>
  );
}

function Frame() {
  const where = new URL(path.value, location.origin).pathname;
  useEffect(() => {
    void get<Record<string, string>>("/api/words").then((got) => {
      if (got.ok) words.value = got.value;
    });
  }, [language.value]);
  const ready = words.value["pages.nav.brief"] !== undefined;
  useEffect(() => {
    document.documentElement.lang = language.value;
    if (ready) document.title = `${titleOf(where)} · leafturn`;
  }, [words.value, where]);
  // Pages leave out what a role doesn't have, so they wait for it.
  if (!ready || !known.value) return <p class="loading" role="status">…</p>;
  return (
    <>
      <a class="skip" href="#page">{t("pages.nav.skip")}</a>
      <Top where={where} />
      <main id="page" tabIndex={-1}><Page where={where} /></main>
    </>
  );
}

function Brand() {
  return (
    <svg viewBox="0 0 24 24" class="brand-leaf" aria-hidden="true" focusable="false">
      <path class="g-leaf g-ink" d="M4 20C3 9 11 4 21 4c0 10-6 17-15 15" />
      <path class="g-line" d="M4 21.500C8 14 12 10 17 7.500" />
    </svg>
  );
}

window.addEventListener("popstate", () => {
  path.value = location.pathname + location.search;
});
void startSync();
startNews();
keepPagesOffline();

const root = document.getElementById("app");
if (root !== null) render(<Frame />, root);
