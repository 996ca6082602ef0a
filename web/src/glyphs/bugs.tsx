// Squash bug: long and flat, the edge of its body striped orange, bronze eggs spaced between two veins. Stink bug: a broad brown shield with
// pale bands on the feelers, pale green barrels in a close patch.
import { Both, OnLeaf } from "./draw";
import { Plate } from "./leaf";

export function SquashBug() {
  return (
    <Plate>
      <Both half={() => <path class="g-line" d="M22 22l-11-4-4 4M19 32l-13 1-3 6M21 44l-11 7-1 9M30 9l-5-4-9-1-6-3" />} />
      <path class="g-soilbrown g-ink" d="M28 15c0-6 1-9 4-9s4 3 4 9z" />
      <path class="g-soilbrown g-ink" d="M27 14h10l6 8c4 7 6 14 5 21-2 9-8 15-16 18-8-3-14-9-16-18-1-7 1-14 5-21z" />
      <Both half={() => <path class="g-orange-line" d="M18 31l3 .800M16.800 36.500l3.200.500M17 42l3-.200M18.800 47.500l2.600-1.200M22 52.500l2-2" />} />
      <path class="g-line" d="M21 22h22M22 23c-2 9 1 18 7 21M42 23c2 9-1 18-7 21M27 23l5 10 5-10M24 20l3-4M40 20l-3-4" />
      <path class="g-dark" d="M32 36c4 3 7 6 8 11-2 5-5 9-8 11-3-2-6-6-8-11 1-5 4-8 8-11z" />
    </Plate>
  );
}

export function BronzeEggs() {
  const eggs: [number, number][] = [[22, 38], [27, 33], [32, 28], [37, 23], [24, 45], [29, 40], [34, 35], [39, 30], [44, 24], [32, 47], [37, 42], [42, 36], [47, 30]];
  return (
    <OnLeaf>
      <path class="g-line" d="M22 40c-1-10 0-18 3-24M34 27c8 6 16 8 24 7" />
      {eggs.map(([x, y]) => <ellipse class="g-bronze g-ink" cx={x} cy={y} rx="2.500" ry="1.800" transform={`rotate(-42 ${x} ${y})`} />)}
    </OnLeaf>
  );
}

export function GreyNymph({ small = false }: { small?: boolean }) {
  return (
    <Plate>
      <g transform={small ? "translate(13 14) scale(.6)" : undefined}>
        <Both half={() => <path class="g-line" d="M22 24l-11-5-4 4M19 35H7l-3 6M20 46l-9 8-1 6M30 11l-7-5-8 1" />} />
        <path class="g-dark g-ink" d="M27 17c0-6 2-9 5-9s5 3 5 9z" />
        <path class="g-grey g-ink" d="M25 17h14c7 6 10 15 9 25-1 10-8 17-16 17s-15-7-16-17c-1-10 2-19 9-25z" />
        <path class="g-dark" d="M23 21c3 1 6 1 8 1l-2 12c-4 0-7-4-8-9zM41 21c-3 1-6 1-8 1l2 12c4 0 7-4 8-9z" />
        <path class="g-line" d="M17 39c10 3 20 3 30 0M18 46c9 3 19 3 28 0M22 53c6 2 14 2 20 0" />
      </g>
    </Plate>
  );
}

export function StinkBug({ nymph = false }: { nymph?: boolean }) {
  return (
    <Plate>
      <Both half={() => (
        <g>
          <path class="g-line" d="M21 24l-11-5-3 3M17 34l-12 1-2 5M21 45l-10 8-1 7M29 9L23 5 11 4 4 8" />
          <path class="g-white-line" d="M20 4.700l-5-.400M15 21.200l-2.500-1.100M12 34.400l-3 .200M16 49l-2 1.600" />
        </g>
      )} />
      <path class="g-soilbrown g-ink" d="M25 14c1-6 4-8 7-8s6 2 7 8z" />
      {nymph ? (
        <>
          <path class="g-dark g-ink" d="M24 14h16c7 6 10 14 9 23-1 12-8 22-17 22s-16-10-17-22c-1-9 2-17 9-23z" />
          <path class="g-amber" d="M20 34c8 2 16 2 24 0l1 6c-2 8-7 15-13 16-6-1-11-8-13-16z" />
          <path class="g-dark" d="M28 37h8v4h-8zM29 45h6v4h-6z" />
        </>
      ) : (
        <>
          <path class="g-soilbrown g-ink" d="M25 13h14l10 10c2 3 1 7 0 11-2 12-9 21-17 26-8-5-15-14-17-26-1-4-2-8 0-11z" />
          <Both half={() => <path class="g-white-line" d="M15.600 35l3-.500M18 42l2.700-1M21.500 49l2.300-1.600" />} />
          <path class="g-line" d="M17 24h30M23 24l9 21 9-21M24 41c3 2 5 3 8 3s5-1 8-3M27 47c0 4 2 8 5 11 3-3 5-7 5-11M24 20v.1M29 18v.1M35 18v.1M40 20v.1M29 29v.1M35 29v.1M32 34v.1M20 30v.1M44 30v.1M22 36v.1M42 36v.1" />
        </>
      )}
    </Plate>
  );
}

export function BarrelPatch() {
  const rows: [number, number, number][] = [[20, 28, 3], [26.500, 24, 4], [33, 20, 5], [39.500, 24, 4], [46, 28, 3]];
  return (
    <OnLeaf>
      {rows.flatMap(([y, x, n]) => Array.from({ length: n }, (_, i) => (
        <g>
          <circle class="g-mint g-ink g-in" cx={x + i * 7.500} cy={y} r="3.500" />
          <circle class="g-line g-in g-thread" cx={x + i * 7.500} cy={y} r="1.900" />
        </g>
      )))}
    </OnLeaf>
  );
}
