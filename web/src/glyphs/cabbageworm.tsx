// Imported cabbageworm: a velvet-green caterpillar with a faint back stripe, one bullet-shaped ribbed egg standing on end, a chrysalis
// held by a silk girdle, and the white butterfly with dark wing tips and two spots.
import { Plate } from "./leaf";

export function Caterpillar({ small = false }: { small?: boolean }) {
  return (
    <Plate>
      <path class="g-leaf" d="M2 50C16 38 42 36 62 42c-10 16-44 20-60 8z" />
      <g transform={small ? "translate(17 22) scale(.56)" : undefined}>
        <path class="g-green g-ink" d="M5 38c-2-7 3-12 9-12 4 0 6-5 12-5s8 4 12 4 7-4 12-2 9 7 8 12c-1 4-5 5-9 5H14c-4 0-8 1-9-2z" />
        <path class="g-line" d="M18 26v13M26 22.500V39M34 24v15M42 24.500V39M50 24v15" />
        <path class="g-yellow-line" d="M9 33c8-4 12-7 19-7 8 0 16 2 27 4" />
        <path class="g-line" d="M12 39v4M20 39.500v4M28 39.500v4M36 39.500v4M44 39.500v4M52 39v4" />
        <circle class="g-dot" cx="8" cy="32" r="1.200" />
      </g>
    </Plate>
  );
}

export function BulletEgg() {
  return (
    <Plate>
      <path class="g-leaf" d="M2 57C10 47 40 43 62 49c-8 12-46 17-60 8z" />
      <path class="g-yellow g-ink" d="M24 50C22 34 25 14 32 7c7 7 10 27 8 43-4 3-12 3-16 0z" />
      <path class="g-line g-in" d="M28.500 51C27 36 28.500 20 32 8M32 52V8M35.500 51C37 36 35.500 20 32 8M24 42c5 2 11 2 16 0M24.500 34c5 1.600 10 1.600 15 0M25.700 26c4 1.400 9 1.400 12.600 0M27.800 18c3 1 6 1 8.400 0" />
    </Plate>
  );
}

export function Chrysalis() {
  return (
    <Plate>
      <path class="g-line" d="M12 4c3 20 3 38 0 57" />
      <path class="g-green g-ink" d="M14 58c-1-7 2-12 4-18 2-8 0-16 6-24 3-4 8-6 11-10 2 6 9 11 12 18 3 8-1 14-7 18-9 5-20 7-26 16z" />
      <path class="g-line" d="M13 33c12 2 22 2 33 0M24 19c7 1 13 1 20 0M20 44c5 0 12-2 17-4M18 50c4-1 6-2 9-4" />
      <circle class="g-dot" cx="38" cy="24" r="1.300" />
    </Plate>
  );
}

export function WhiteButterfly() {
  return (
    <Plate>
      <path class="g-white g-ink" d="M30 30C24 14 14 6 5 7c-3 8 1 18 8 23 5 3 12 3 17 3zM34 30C40 14 50 6 59 7c3 8-1 18-8 23-5 3-12 3-17 3z" />
      <path class="g-white g-ink" d="M30 33c-8 0-16 4-17 12 0 7 5 12 11 10 5-2 6-12 6-22zM34 33c8 0 16 4 17 12 0 7-5 12-11 10-5-2-6-12-6-22z" />
      <path class="g-band" d="M5 7c5-.5 9 1.500 12 4.500-4 1-7 3-9.500 6C5 14 4 10 5 7zM59 7c-5-.5-9 1.500-12 4.500 4 1 7 3 9.500 6C59 14 60 10 59 7z" />
      <circle class="g-dot" cx="18.500" cy="20" r="2.200" />
      <circle class="g-dot" cx="45.500" cy="20" r="2.200" />
      <path class="g-dark" d="M30.500 24c0-2 3-2 3 0l.5 22c0 3-4 3-4 0z" />
      <path class="g-line" d="M31 23L25 11M33 23l6-12" />
    </Plate>
  );
}
