// The terrace: slabs 600 x 400 mm in half bond, each a little lighter or darker. Shared
// by the 3D view and by still pictures. at: metres on the floor. Returns a factor.

float slabTone(vec2 slab) { return fract(sin(dot(slab, vec2(12.9898, 78.233))) * 43758.5453); }

float paving(vec2 at) {
  vec2 slab = at / vec2(0.6, 0.4);
  slab.x += 0.5 * mod(floor(slab.y), 2.0);
  vec2 inside = (0.5 - abs(fract(slab) - 0.5)) * vec2(0.6, 0.4);
  vec2 px = fwidth(at);
  float joint = 1.0 - min(
    smoothstep(0.004 - px.x, 0.004 + px.x, inside.x), smoothstep(0.004 - px.y, 0.004 + px.y, inside.y));
  joint *= 1.0 - smoothstep(0.01, 0.05, max(px.x, px.y));
  return (1.0 + 0.07 * (slabTone(floor(slab)) - 0.5)) * (1.0 - 0.30 * joint);
}
