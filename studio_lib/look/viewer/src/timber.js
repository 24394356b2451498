// The timber material: three's own lighting over our own grain.
import { Color, DoubleSide, MeshStandardMaterial, Vector3 } from "three";
import grain from "./grain.glsl";

export const ACCENT = 0x2674ab;

export class Timber extends MeshStandardMaterial {
  constructor(member) {
    super({
      metalness: 0, roughness: 0.7, shadowSide: DoubleSide,
      polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
    });
    this.own = {
      uSize: { value: new Vector3(...member.size_mm) },
      uSeed: { value: member.seed },
      uBase: { value: new Color(0xb08a5c) },
      uLate: { value: new Color(0x8a6238) },
      uRing: { value: 2.5 },
      uGrey: { value: 0 },
      uLit: { value: 0 },
      uAccent: { value: new Color(ACCENT) },
    };
  }

  wear(look) {
    this.own.uBase.value.set(look.base_hex);
    this.own.uLate.value.set(look.late_hex);
    this.own.uRing.value = look.ring_mm;
    this.own.uGrey.value = look.grey_fraction;
    this.roughness = look.roughness;
  }

  customProgramCacheKey() {
    return "timber";
  }

  onBeforeCompile(shader) {
    Object.assign(shader.uniforms, this.own);
    shader.vertexShader = shader.vertexShader
      .replace("#include <common>", "#include <common>\nvarying vec3 vMember;\nvarying vec3 vFace;")
      .replace("#include <begin_vertex>", "#include <begin_vertex>\nvMember = position * 1000.0;\nvFace = normal;");
    shader.fragmentShader = shader.fragmentShader
      .replace(
        "#include <common>",
        `#include <common>
        varying vec3 vMember; varying vec3 vFace;
        uniform vec3 uSize, uBase, uLate, uAccent;
        uniform float uSeed, uRing, uGrey, uLit;
        ${grain}`,
      )
      .replace(
        "#include <color_fragment>",
        `diffuseColor.rgb = timber(vMember, vFace, uSize, uSeed, uBase, uLate, uRing, uGrey);
        diffuseColor.rgb = mix(diffuseColor.rgb, uAccent, 0.55 * uLit);`,
      );
  }
}
