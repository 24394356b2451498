// Timber in the solid: the colour of one point of a board, from where it lies in the
// log. Faces and ends read the same rings, so they meet at the arris. Shared by the 3D
// view and by still pictures; plain GLSL, no textures.

uint mixed(uint h) {
  h ^= h >> 16; h *= 0x7feb352du;
  h ^= h >> 15; h *= 0x846ca68bu;
  return h ^ (h >> 16);
}

float drawn(uint h) { return float(mixed(h) >> 8) / 16777216.0; }

// A number 0 to 1 drawn once for this board.
float lot(float seed, uint which) { return drawn(uint(seed) * 977u + which * 7919u); }

// Smooth noise, -1 to 1, along a line.
float noise1(float x, uint key) {
  float i = floor(x), f = x - i;
  f = f * f * (3.0 - 2.0 * f);
  uint k = uint(int(i) + 32768);
  return mix(drawn(k * 2246822519u + key), drawn((k + 1u) * 2246822519u + key), f) * 2.0 - 1.0;
}

float corner3(ivec3 c, uint key) {
  return drawn(uint(c.x) * 73856093u ^ uint(c.y) * 19349663u ^ uint(c.z) * 83492791u ^ key);
}

// Smooth noise, -1 to 1, in space.
float noise3(vec3 q, uint key) {
  vec3 i = floor(q), f = q - i;
  f = f * f * (3.0 - 2.0 * f);
  ivec3 c = ivec3(i) + 32768;
  float low = mix(
    mix(corner3(c, key), corner3(c + ivec3(1, 0, 0), key), f.x),
    mix(corner3(c + ivec3(0, 1, 0), key), corner3(c + ivec3(1, 1, 0), key), f.x), f.y);
  float high = mix(
    mix(corner3(c + ivec3(0, 0, 1), key), corner3(c + ivec3(1, 0, 1), key), f.x),
    mix(corner3(c + ivec3(0, 1, 1), key), corner3(c + ivec3(1, 1, 1), key), f.x), f.y);
  return mix(low, high, f.z) * 2.0 - 1.0;
}

// How much of a pattern still shows when one pixel covers this share of its period;
// nothing at half a period, where it would turn into stripes that are not there.
float seen(float share) { return 1.0 - smoothstep(0.12, 0.5, share); }

const float MEAN_LATE = 0.38;

// p, normal: in member axes (mm, x along the grain). size: length, width, thickness.
vec3 timber(vec3 p, vec3 normal, vec3 size, float seed, vec3 base, vec3 late,
            float ring_mm, float grey) {
  if (ring_mm <= 0.0) return base;  // metal, rubber: no timber
  uint key = uint(seed) * 747796405u + 2891336453u;

  // Where the heart of the log lies: beyond one wide face, most boards near flat sawn.
  float side = lot(seed, 1u) < 0.5 ? -1.0 : 1.0;
  vec2 heart = vec2(
    size.y * (0.5 + 0.8 * (lot(seed, 2u) - 0.5)) + 90.0 * (lot(seed, 3u) - 0.5),
    0.5 * size.z + side * (0.5 * size.z + 22.0 + 85.0 * lot(seed, 4u)));
  vec2 lean = 0.022 * vec2(lot(seed, 5u) - 0.5, lot(seed, 6u) - 0.5);
  float x = p.x - 0.5 * size.x;
  vec2 sway = vec2(noise1(p.x / 310.0, key), noise1(p.x / 230.0, key + 17u)) * 2.6;
  vec2 away = p.yz - heart + lean * x + sway;
  float radius = length(away) + 0.8 * noise3(vec3(p.x / 260.0, p.y / 17.0, p.z / 17.0), key + 29u);
  float u = radius / ring_mm;
  u += 0.55 * noise1(u / 6.0, key + 41u);

  // Where a ring runs level with the face its slope is nothing, but it still bends away
  // within the pixel: the second term is that bend.
  float fine = max(fwidth(p.y), fwidth(p.z));
  float width = fwidth(u) + fine * fine / (ring_mm * max(radius, 10.0));
  float f = fract(u);
  float each = 0.55 + 0.75 * drawn(uint(int(floor(u)) + 32768) * 97u + key);
  float ring = smoothstep(0.15, 0.88, f) * (1.0 - smoothstep(1.0 - max(0.07, width), 1.0, f)) * each;
  float v = mix(MEAN_LATE, ring, seen(width));
  v += 0.30 * noise1(u / 4.5, key + 53u) * seen(width / 4.5);

  vec3 colour = mix(base, late, clamp(0.85 * v, 0.0, 1.0));

  // No two boards alike: lighter or darker, warmer or cooler.
  float tone = lot(seed, 7u) - 0.5, warmth = lot(seed, 8u) - 0.5;
  colour *= 1.0 + 0.26 * tone;
  colour *= 1.0 + vec3(0.05, 0.0, -0.07) * warmth * (1.0 - 0.6 * grey);

  // Fibre and pores run along the grain; across an end they are points.
  float fibre = 0.07 * noise3(vec3(p.x / 120.0, p.y / 2.4, p.z / 2.4), key + 61u) * seen(fine / 2.4);
  float broad = 0.06 * noise3(vec3(p.x / 520.0, p.y / 24.0, p.z / 24.0), key + 67u);
  float pore = smoothstep(0.45, 0.8, noise3(vec3(p.x / 16.0, p.y / 0.55, p.z / 0.55), key + 71u));
  colour *= 1.0 + fibre + broad - 0.20 * pore * seen(fine / 0.9) * (0.4 + 0.6 * (1.0 - f));

  // End grain drinks light.
  float end = smoothstep(0.6, 0.95, abs(normal.x));
  colour *= mix(1.0, 0.66, end);

  // Weather: blotches, and fine cracks that follow the grain.
  if (grey > 0.0) {
    float blotch = noise3(vec3(p.x / 210.0, p.y / 38.0, p.z / 38.0), key + 83u);
    float line = abs(noise3(vec3(p.x / 260.0, p.y / 4.2, p.z / 4.2), key + 89u));
    float where = smoothstep(0.1, 0.5, noise3(vec3(p.x / 340.0, p.y / 13.0, p.z / 13.0), key + 97u));
    float crack = (1.0 - smoothstep(0.02, 0.07, line)) * where * seen(fine / 2.6);
    colour *= 1.0 + grey * (0.10 * blotch - 0.42 * crack * (1.0 - 0.6 * end));
  }
  return colour;
}
