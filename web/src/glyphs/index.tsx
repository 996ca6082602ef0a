// Which drawing stands for which pest and stage.
import type { Urgency } from "../types";
import { BulletEgg, Caterpillar, Chrysalis, WhiteButterfly } from "./cabbageworm";
import { BarrelEggs, HarlequinAdult, HarlequinNymph } from "./harlequin";
import { Plate, TurnedLeaf } from "./leaf";
import { HumpedLarva, OrangeEggs, SoilPupa, StripedBeetle } from "./potato_beetle";

export function PestGlyph({ pest, stage = "" }: { pest: string; stage?: string }) {
  const egg = stage.startsWith("egg");
  const adult = stage.startsWith("adult");
  const pupa = stage.startsWith("pupa");
  const young = /^(small-|larva-[12]$|nymph-[12]$)/.test(stage);
  if (pest.includes("harlequin") || pest === "MURGHI") {
    if (egg) return <BarrelEggs />;
    return stage.includes("nymph") ? <HarlequinNymph /> : <HarlequinAdult />;
  }
  if (pest.includes("cabbageworm") || pest === "PIERRA") {
    if (egg) return <BulletEgg />;
    if (pupa) return <Chrysalis />;
    return adult ? <WhiteButterfly /> : <Caterpillar small={young} />;
  }
  if (pest.includes("potato-beetle") || pest === "LPTNDE") {
    if (egg) return <OrangeEggs />;
    if (pupa) return <SoilPupa />;
    return stage.includes("larva") ? <HumpedLarva small={young} /> : <StripedBeetle />;
  }
  return <TurnedLeaf />;
}

// Urgency is said in words; the mark beside it differs in shape, not only in colour.
export function Mark({ urgency }: { urgency: Urgency }) {
  switch (urgency) {
    case "lock":
      return (
        <Plate class="mark mark-lock">
          <path class="g-markline" d="M20 28v-8c0-7 5-12 12-12s12 5 12 12v8" />
          <path class="g-markfill" d="M13 28h38v28H13z" />
        </Plate>
      );
    case "act":
      return (
        <Plate class="mark mark-act">
          <path class="g-markfill" d="M32 6l28 50H4z" />
          <path class="g-markpaper" d="M29 25h6l-1 16h-4zM29.500 45h5v5h-5z" />
        </Plate>
      );
    case "look":
      return (
        <Plate class="mark mark-look">
          <path class="g-markline" d="M4 32c8-13 18-18 28-18s20 5 28 18c-8 13-18 18-28 18S12 45 4 32z" />
          <circle class="g-markfill" cx="32" cy="32" r="9" />
        </Plate>
      );
    case "wait":
      return (
        <Plate class="mark mark-wait">
          <circle class="g-markline" cx="32" cy="32" r="24" />
          <path class="g-markline" d="M32 16v17l11 7" />
        </Plate>
      );
    case "none":
      return (
        <Plate class="mark mark-none">
          <path class="g-markline" d="M12 34l14 14 26-32" />
        </Plate>
      );
  }
}

export function AnswerMark({ answer }: { answer: "yes" | "no" | "unknown" }) {
  return (
    <Plate class={`mark mark-${answer}`}>
      {answer === "yes" ? <path class="g-markline" d="M12 34l14 14 26-32" /> : answer === "no" ? <path class="g-markline" d="M14 14l36 36M50 14L14 50" />
        : <path class="g-markline" d="M22 22c0-7 5-11 11-11s11 4 11 10c0 8-11 8-11 18M33 50v3" />}
    </Plate>
  );
}

export { TurnedLeaf } from "./leaf";
