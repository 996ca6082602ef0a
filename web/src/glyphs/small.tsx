// The smallest, seen through a lens. Aphids: pear-shaped, two tubes at the rear, dusted with wax (cabbage) or bare with longer tubes (peach).
// Thrips: slivers with fringed wings. Spider mite: eight legs, two dark spots, threads and clear round eggs.
import { Both, OnLeaf, UnderLeaf } from "./draw";
import { Plate } from "./leaf";

function OneAphid({ waxed }: { waxed: boolean }) {
  return (
    <>
      <Both half={() => <path class="g-line" d="M24 24l-11-7-4 6M21 34H10l-4 6M21 43l-9 7-1 9M29 15C25 8 17 5 8 8" />} />
      <path class={`${waxed ? "g-wax" : "g-green"} g-ink`} d="M32 12c5 0 7 4 9 11 4 8 6 15 4 21-2 8-7 12-13 12s-11-4-13-12c-2-6 0-13 4-21 2-7 4-11 9-11z" />
      <path class="g-line g-in" d="M25 23c4 2 10 2 14 0M22 31c6 2 14 2 20 0M20.500 39c7 2 16 2 23 0M30 56l2 5 2-5" />
      <Both half={() => (
        <g>
          {waxed ? <path class="g-dark" d="M22 46l-4 4 2 2 5-3z" /> : <path class="g-pale g-ink" d="M22 45l-7 11c0 2 2 2 3 1l7-9z" />}
          <circle class="g-dot" cx="28" cy="17" r="1.300" />
        </g>
      )} />
      {waxed && <path class="g-white-line" d="M28 27v.1M36 27v.1M32 35v.1M26 36v.1M38 36v.1M29 45v.1M35 45v.1M32 51v.1M25 42v.1M39 42v.1M32 20v.1" />}
    </>
  );
}

export function Aphid({ waxed, young }: { waxed: boolean; young: boolean }) {
  return (
    <Plate>
      {young ? (
        <>
          <path class="g-leaf" d="M3 60C3 26 28 8 61 5c1 32-18 56-58 55z" />
          <g transform="translate(1 25) scale(.56)"><OneAphid waxed={waxed} /></g>
            <g transform="translate(28 8) scale(.46)"><OneAphid waxed={waxed} /></g>
        </>
      ) : <OneAphid waxed={waxed} />}
    </Plate>
  );
}

export function Thrips({ winged }: { winged: boolean }) {
  const fringe = [0, 1, 2, 3, 4, 5, 6, 7];
  return (
    <Plate>
      <Both half={() => (
        <g>
          <path class="g-line" d="M29 20l-8-5-3 3M28 28l-10 1-3 4M28 36l-9 6-1 5M31 8l-4-6-4 1" />
          {winged && <path class="g-line" d={`M29 24C21 32 16 44 15 58${fringe.map((i) => `M${27 - i * 1.700} ${27 + i * 4}l-6 4`).join("")}`} />}
        </g>
      )} />
      <path class="g-yellow g-ink" d="M32 6c3 0 4 2 4 6 2 4 3 10 2 15 1 10-1 24-6 35-5-11-7-25-6-35-1-5 0-11 2-15 0-4 1-6 4-6z" />
      <path class="g-line g-in" d="M28.500 13h7M26.500 22h11M26 29h12M26.500 35c4 1 7 1 11 0M27 41c3 1 7 1 10 0M28 47c3 1 5 1 8 0M29.500 53h5" />
      <circle class="g-dot" cx="29.800" cy="9.500" r="1" /><circle class="g-dot" cx="34.200" cy="9.500" r="1" />
    </Plate>
  );
}

function Threads() {
  return <path class="g-line g-thread" d="M2 10l60 14M4 52L58 6M2 34l60 22M14 2l34 60" />;
}

export function SpiderMite({ young }: { young: boolean }) {
  return (
    <Plate>
      <Threads />
      <g transform={young ? "translate(12 12) scale(.62)" : undefined}>
        <Both half={() => <path class="g-line" d="M25 19L16 9l-6 2M20 26L8 20l-5 4M19 42L8 47l-5-2M23 49l-8 9-6-1" />} />
        <path class="g-mint g-ink" d="M32 13c9 0 15 9 15 20S41 54 32 54 17 44 17 33s6-20 15-20z" />
        <Both half={() => (
          <g>
            <path class="g-dark" d="M21 31c3-3 7-2 7 2 0 5-2 10-5 11-3-3-4-9-2-13z" />
            <circle class="g-red" cx="26" cy="21" r="1.500" />
            <path class="g-line" d="M29 16l-2-5M25 50l-3 5M19 37l-4 1" />
          </g>
        )} />
      </g>
      {!young && <><circle class="g-white g-ink" cx="55" cy="34" r="3" /><circle class="g-white g-ink" cx="9" cy="34" r="3" /></>}
    </Plate>
  );
}

export function ClearBalls() {
  const balls: [number, number][] = [[22, 30], [34, 24], [42, 34], [29, 42], [44, 20]];
  return (
    <OnLeaf>
      <path class="g-line g-thread" d="M10 42l48-26M14 54l42-34M20 22l26 28" />
      {balls.map(([x, y]) => <><circle class="g-white g-ink" cx={x} cy={y} r="4" /><path class="g-line g-in" d={`M${x - 2} ${y - 1}c0-1 1-2 2-2`} /></>)}
    </OnLeaf>
  );
}

// Eggs inside the leaf, and rests in the soil, that nobody sees: the place is drawn, not the thing.
export function HiddenInLeaf() {
  return (
    <UnderLeaf>
      <path class="g-line" d="M4 50C20 44 42 42 60 43M18 44c2-2 5-3 8-3M34 48c4 1 7 1 11 0" />
      <circle class="g-line g-thread" cx="30" cy="45" r="11" />
    </UnderLeaf>
  );
}
