// Flea beetle: small, shining, thick hind thighs. Cucumber beetle: yellow with three black stripes. Bean beetle: a copper dome with sixteen
// spots, its larva yellow under branched spines. The grubs of the first two live at the roots.
import { Both, InSoil, UnderLeaf } from "./draw";
import { Plate } from "./leaf";

export function FleaBeetle() {
  return (
    <Plate>
      <Both half={() => (
        <g>
          <path class="g-line" d="M21 27l-9-5-3 3M18 37l-9 2-2 4M28 11C25 8 22 4 17 3M12 55l-5 6" />
          <path class="g-night g-ink" d="M20 44c-5-1-9 3-9 9 0 4 4 4 6 1 2-2 4-3 6-4z" />
        </g>
      )} />
      <path class="g-night g-ink" d="M26 15c0-5 3-7 6-7s6 2 6 7z" />
      <path class="g-night g-ink" d="M22 24c0-7 4-10 10-10s10 3 10 10z" />
      <path class="g-night g-ink" d="M20 24h24c4 6 5 12 4 18-2 9-8 17-16 17s-14-8-16-17c-1-6 0-12 4-18z" />
      <path class="g-line g-onred" d="M32 24v34M24 30c-2 6-2 12 0 19" />
    </Plate>
  );
}

export function CucumberBeetle() {
  return (
    <Plate>
      <Both half={() => <path class="g-line" d="M21 27L11 22l-4 3M20 38L9 39l-4 5M22 50l-9 5-2 6M28 10C23 7 17 6 10 8" />} />
      <path class="g-dark g-ink" d="M26 15c0-5 3-8 6-8s6 3 6 8z" />
      <path class="g-amber g-ink" d="M23 23c0-6 3-9 9-9s9 3 9 9z" />
      <path class="g-yellow g-ink" d="M21 23h22c4 8 5 18 3 26-2 6-8 10-14 10s-12-4-14-10c-2-8-1-18 3-26z" />
      <path class="g-stripe g-broad" d="M32 24v34M24.500 25c-2 10-1.500 20 1 29M39.500 25c2 10 1.500 20-1 29" />
    </Plate>
  );
}

export function BeanBeetle() {
  return (
    <Plate>
      <Both half={() => <path class="g-line" d="M16 28l-8-5M13 40H5M17 51l-7 6M28 11l-6-6" />} />
      <path class="g-orange g-ink" d="M23 19c0-8 4-11 9-11s9 3 9 11z" />
      <path class="g-orange g-ink" d="M32 17c8 0 14 3 17 9 4 7 5 14 2 20-3 8-11 13-19 13s-16-5-19-13c-3-6-2-13 2-20 3-6 9-9 17-9z" />
      <path class="g-line" d="M32 17v42" />
      <Both half={() => (
        <g class="g-dot">
          <circle cx="27.500" cy="26" r="2.200" /><circle cx="21" cy="27" r="2.200" /><circle cx="15.800" cy="31" r="2" />
          <circle cx="27.500" cy="38" r="2.400" /><circle cx="20.500" cy="39" r="2.400" /><circle cx="14.500" cy="42" r="2" />
          <circle cx="27" cy="50" r="2.200" /><circle cx="20.500" cy="49.500" r="2.200" />
        </g>
      )} />
    </Plate>
  );
}

export function SpinyLarva({ small = false }: { small?: boolean }) {
  const spines: [number, number][] = [[15, 32], [23, 28], [31, 26.500], [39, 27], [47, 30], [54, 36]];
  return (
    <UnderLeaf>
      <g transform={small ? "translate(16 22) scale(.58)" : undefined}>
        <path class="g-yellow g-ink" d="M7 43c0-11 12-17 26-17s25 7 25 16c0 6-9 8-25 8S7 48 7 43z" />
        <path class="g-line g-in" d="M19 30c2 6 2 12 1 19M27 27.500c2 7 2 15 1 22M35 26.500c2 8 2 15 1 23M43 28c2 7 2 14 1 21M51 32c1 5 1 10 0 15" />
        {spines.map(([x, y]) => <path class="g-line" d={`M${x} ${y}v-14m-4 1l4 4 4-4m-8 5l4 4 4-4`} />)}
        <path class="g-line" d="M14 49l-2 6M22 50l-1 6M30 50.500v6" />
        <circle class="g-dot" cx="11" cy="41" r="1.300" />
      </g>
    </UnderLeaf>
  );
}

export function RootGrub({ small = false }: { small?: boolean }) {
  return (
    <InSoil>
      <path class="g-line" d="M50 2c0 16-2 28-6 40M48 24c4 8 8 14 12 18M47 30c-4 4-8 6-12 6" />
      <g transform={small ? "translate(12 20) scale(.6)" : undefined}>
        <path class="g-white g-ink" d="M10 50c-2-4 1-9 6-12 6-4 14-4 19 0 3 3 1 7-3 6-5-2-10-2-14 1-3 2-3 5-4 7-1 2-3 1-4-2z" />
        <path class="g-line g-in" d="M15 39l3 5M21 36.500l1 6M28 36l-1 6" />
        <circle class="g-soilbrown g-ink" cx="36" cy="42" r="3.500" />
      </g>
    </InSoil>
  );
}

export function SoilEggs({ yellow = false }: { yellow?: boolean }) {
  const eggs: [number, number][] = [[24, 34], [31, 40], [38, 33], [27, 48], [36, 50], [44, 43]];
  return (
    <InSoil>
      <path class="g-line" d="M52 2c0 18-1 30-4 44M50 28c4 6 7 10 10 14" />
      {eggs.map(([x, y]) => <ellipse class={`${yellow ? "g-amber" : "g-white"} g-ink`} cx={x} cy={y} rx="2" ry="3.400" transform={`rotate(${(x * 7) % 60 - 30} ${x} ${y})`} />)}
    </InSoil>
  );
}
