// Daylight: a sun that casts shadows, an open sky, and light thrown back by the floor.
import { DirectionalLight, Group, HemisphereLight, Vector3 } from "three";

const SUN = { colour: 0xfff3e2, strength: 2.75, from: new Vector3(-0.42, 0.78, 0.52).normalize() };
const SKY = { colour: 0xf2f6fb, floor: 0xcfc6b8, strength: 2.15 };
const KEPT_WHEN_SAMPLED = 0.34;
const SHADOW_MAP = 2048;

function caster(colour) {
  const light = new DirectionalLight(colour, 0);
  light.castShadow = true;
  light.shadow.mapSize.set(SHADOW_MAP, SHADOW_MAP);
  light.shadow.bias = -0.0004;
  return light;
}

export class Daylight extends Group {
  constructor() {
    super();
    this.sun = caster(SUN.colour);
    this.dome = caster(SKY.colour);
    this.sky = new HemisphereLight(SKY.colour, SKY.floor, SKY.strength);
    this.add(this.sun, this.sun.target, this.dome, this.dome.target, this.sky);
    this.middle = new Vector3();
    this.reach = 1;
    this.plain();
  }

  /** Shadows reach over this ball. */
  cover(middle, reach) {
    this.middle.copy(middle);
    this.reach = reach;
    for (const light of [this.sun, this.dome]) {
      const c = light.shadow.camera;
      c.left = c.bottom = -reach;
      c.right = c.top = reach;
      c.near = reach;
      c.far = 5 * reach;
      c.updateProjectionMatrix();
      light.target.position.copy(middle);
    }
    this.plain();
  }

  /** A soft edge reads the map over several texels, and must start that far off the face. */
  soften(texels, off_m) {
    for (const light of [this.sun, this.dome]) {
      light.shadow.radius = texels;
      light.shadow.normalBias = off_m;
    }
  }

  aim(light, from) {
    light.position.copy(this.middle).addScaledVector(from, 3 * this.reach);
  }

  /** One sun, one even sky: quick. */
  plain() {
    this.aim(this.sun, SUN.from);
    this.soften(3, 0.012);
    this.sun.intensity = SUN.strength;
    this.sky.intensity = SKY.strength;
    this.dome.visible = false;
  }

  /** One point of the sun's disc and one of the sky's dome, a and b from 0 to 1. */
  sample(a, b, spread) {
    const turn = 2 * Math.PI * a;
    const off = spread * Math.sqrt(b);
    this.soften(1, 0.004);
    this.aim(this.sun, SUN.from.clone().add(new Vector3(off * Math.cos(turn), 0, off * Math.sin(turn))).normalize());
    const up = 0.06 + 0.94 * b;
    const out = Math.sqrt(1 - up * up);
    this.aim(this.dome, new Vector3(out * Math.cos(turn), up, out * Math.sin(turn)));
    this.dome.visible = true;
    this.dome.intensity = 2 * (1 - KEPT_WHEN_SAMPLED) * SKY.strength;
    this.sky.intensity = KEPT_WHEN_SAMPLED * SKY.strength;
  }

  dispose() {
    this.sun.dispose();
    this.dome.dispose();
  }
}
