// The formed collar as a body: bands of colour, the net of the fabric as cut, seams, and what is
// pointed at. It draws only when something changed.
import {
  BufferAttribute, BufferGeometry, Color, LineBasicMaterial, LineSegments, Mesh,
  MeshBasicMaterial, OrbitControls, PerspectiveCamera, Scene, Sphere, Vector3, WebGLRenderer,
} from "./vendor/three.js";
import { middleOf, seenBy } from "./collar_map.mjs";

const NET = 0.025;
const STEP = Math.PI / 12;
const BOTH_SIDES = 2;
const HATCH = 5.0;
const WIDE = 2 ** 22; // more than there are points: two of them make one number
const BY_PROCESSOR = /swiftshader|llvmpipe|softpipe|software|basic render/i;

/**
 * Where bodies are drawn, or null where this browser draws none.
 *
 * Smooth edges cost a processor that draws alone a multiple of the picture: only a graphics card
 * is asked for them, and for more than one point a pixel.
 */
export function canvasForBodies() {
  const plain = begun(false);
  if (!plain) return null;
  const { gl } = plain;
  const names = gl.getExtension("WEBGL_debug_renderer_info");
  const name = gl.getParameter(names ? names.UNMASKED_RENDERER_WEBGL : gl.RENDERER);
  if (BY_PROCESSOR.test(name)) return plain;
  const smooth = begun(true);
  if (!smooth) return plain;
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return smooth;
}

/** A canvas with what draws in it, or null. */
function begun(smooth) {
  try {
    const canvas = document.createElement("canvas");
    const gl = canvas.getContext("webgl2", { antialias: smooth });
    return gl && { canvas, gl, smooth };
  } catch {
    return null;
  }
}

/** Colour of a custom property of the sheet. */
function ink(name) {
  return new Color(getComputedStyle(document.documentElement).getPropertyValue(name).trim());
}

export class Solid {
  /**
   * @param {HTMLElement} stage where it is drawn
   * @param {{canvas: HTMLCanvasElement, gl: WebGL2RenderingContext, smooth: boolean}} drawn with
   *   what, as `canvasForBodies` gives it
   * @param {object} map as `collar_map.readMap` gives it
   * @param {{least: string, greatest: string, write: (key: string, value: number) => string}} words
   */
  constructor(stage, { canvas, gl, smooth }, map, words) {
    this.stage = stage;
    this.map = map;
    this.words = words;
    this.scene = new Scene();
    this.renderer = new WebGLRenderer({ canvas, context: gl });
    this.renderer.debug.checkShaderErrors = false; // asking waits until the shaders are made
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, smooth ? 2 : 1));
    stage.append(this.renderer.domElement);
    this.camera = new PerspectiveCamera(28, 1, 0.01, 20);
    this.camera.up.set(0, 0, 1);
    this.#build();
    this.#look();
    this.marks = ["least", "greatest"].map((kind) => this.#mark(kind));
    this.dot = this.#div("pointed");
    this.pointed = -1;
    new ResizeObserver(() => this.#resize()).observe(stage);
    this.#resize();
  }

  /** Paint another quantity. */
  paint(key) {
    const one = this.map.quantities.find((each) => each.key === key);
    const colours = one.colours.map((hex) => new Color(hex));
    const colour = this.mesh.geometry.getAttribute("color");
    const beyond = this.mesh.geometry.getAttribute("beyond");
    for (let corner = 0; corner < 3 * this.map.faces; corner += 1) {
      const face = Math.floor(corner / 3);
      const { r, g, b } = colours[one.classes[face]] ?? colours[0];
      colour.array[3 * corner] = r;
      colour.array[3 * corner + 1] = g;
      colour.array[3 * corner + 2] = b;
      beyond.array[corner] = one.beyond[face];
    }
    colour.needsUpdate = true;
    beyond.needsUpdate = true;
    this.marks.forEach((mark) => {
      mark.faces = one[mark.kind];
      mark.face = -1;
      const value = this.words.write(key, this.map.values[key][mark.faces[0]]);
      mark.element.textContent = `${this.words[mark.kind]} ${value}`;
    });
    this.#chooseMarks();
  }

  /** Mark a triangle, or none for -1. */
  point(face) {
    if (face === this.pointed) return;
    this.pointed = face;
    this.draw();
  }

  /** The triangle under a place of the window, or -1. */
  under(x, y) {
    const box = this.renderer.domElement.getBoundingClientRect();
    const at = new Vector3(
      ((x - box.left) / box.width) * 2 - 1, 1 - ((y - box.top) / box.height) * 2, 0.5,
    );
    const way = at.unproject(this.camera).sub(this.camera.position).normalize();
    return seenBy(this.map, this.camera.position, way).face;
  }

  /** Turn, or come nearer: `left`, `right`, `up`, `down`, `near`, `far`. */
  turn(way) {
    const arm = this.camera.position.clone().sub(this.controls.target);
    const reach = arm.length();
    let round = Math.atan2(arm.y, arm.x);
    let high = Math.asin(arm.z / reach);
    round += { left: -STEP, right: STEP }[way] ?? 0;
    high += { up: STEP, down: -STEP }[way] ?? 0;
    high = Math.min(Math.max(high, -1.5), 1.5);
    const far = reach * ({ near: 0.85, far: 1 / 0.85 }[way] ?? 1);
    arm.set(Math.cos(high) * Math.cos(round), Math.cos(high) * Math.sin(round), Math.sin(high));
    this.camera.position.copy(this.controls.target).addScaledVector(arm, far);
    this.controls.update();
    this.#chooseMarks();
  }

  /** Draw once, at the next frame. */
  draw() {
    if (this.waiting) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.renderer.render(this.scene, this.camera);
      if (this.choosing) setTimeout(() => this.#bestMarks());
      else this.#placeMarks();
      this.stage.dataset.drawn = String(Math.round(performance.now()));
    });
  }

  #build() {
    const { faces, points, triangles, pieces, places } = this.map;
    const position = new Float32Array(9 * faces);
    const flat = new Float32Array(6 * faces);
    for (let face = 0; face < faces; face += 1) {
      const piece = pieces[places.piece[face]];
      const own = 3 * places.own[face];
      for (let corner = 0; corner < 3; corner += 1) {
        const vertex = 3 * triangles[3 * face + corner];
        const at = 9 * face + 3 * corner;
        for (let axis = 0; axis < 3; axis += 1) position[at + axis] = points[vertex + axis];
        const on = 2 * piece.corners[own + corner];
        flat[6 * face + 2 * corner] = piece.flat[on];
        flat[6 * face + 2 * corner + 1] = piece.flat[on + 1];
      }
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(position, 3));
    geometry.setAttribute("cloth", new BufferAttribute(flat, 2));
    geometry.setAttribute("color", new BufferAttribute(new Float32Array(9 * faces), 3));
    geometry.setAttribute("beyond", new BufferAttribute(new Float32Array(3 * faces), 1));
    this.mesh = new Mesh(geometry, this.#cloth());
    this.scene.add(this.mesh);
    this.#lines();
  }

  /**
   * Bands of exact colour with the net of the fabric, and hatching where a limit is broken; one
   * colour inside.
   */
  #cloth() {
    const material = new MeshBasicMaterial({
      vertexColors: true,
      side: BOTH_SIDES,
      polygonOffset: true, // behind the lines that lie on it
      polygonOffsetFactor: 1,
      polygonOffsetUnits: 2,
    });
    const [paper, inside] = [ink("--paper"), ink("--inside")];
    material.onBeforeCompile = (shader) => {
      shader.uniforms.paper = { value: paper };
      shader.uniforms.inside = { value: inside };
      shader.vertexShader = shader.vertexShader
        .replace("#include <common>", `#include <common>
          attribute vec2 cloth; attribute float beyond;
          varying vec2 vCloth; varying float vBeyond;`)
        .replace("#include <begin_vertex>", `#include <begin_vertex>
          vCloth = cloth; vBeyond = beyond;`);
      shader.fragmentShader = shader.fragmentShader
        .replace("#include <common>", `#include <common>
          uniform vec3 paper; uniform vec3 inside; varying vec2 vCloth; varying float vBeyond;`)
        .replace("#include <color_fragment>", `#include <color_fragment>
          vec2 net = vCloth / ${NET.toFixed(4)};
          vec2 away = abs(fract(net - 0.5) - 0.5) / max(fwidth(net), vec2(1e-6));
          float line = 1.0 - clamp(min(away.x, away.y), 0.0, 1.0);
          diffuseColor.rgb = mix(diffuseColor.rgb, paper, 0.42 * line);
          float stripe = step(0.62, fract((gl_FragCoord.x + gl_FragCoord.y) / ${(2 * HATCH).toFixed(1)}));
          diffuseColor.rgb = mix(diffuseColor.rgb, paper, step(0.5, vBeyond) * stripe);
          if (!gl_FrontFacing) diffuseColor.rgb = inside;`);
    };
    return material;
  }

  /** Seams and free edges, all at once. */
  #lines() {
    const ends = this.#rim();
    for (const seam of this.map.seams) {
      for (let k = 3; k < seam.length; k += 3) ends.push(...seam.subarray(k - 3, k + 3));
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(new Float32Array(ends), 3));
    this.scene.add(new LineSegments(geometry, new LineBasicMaterial({ color: ink("--ink") })));
  }

  /** Ends of the edges that only one triangle has: the free edges of the formed collar. */
  #rim() {
    const { triangles, points, faces } = this.map;
    const edges = new Float64Array(3 * faces);
    for (let face = 0; face < faces; face += 1) {
      for (let corner = 0; corner < 3; corner += 1) {
        const a = triangles[3 * face + corner];
        const b = triangles[3 * face + ((corner + 1) % 3)];
        edges[3 * face + corner] = Math.min(a, b) * WIDE + Math.max(a, b);
      }
    }
    edges.sort();
    const ends = [];
    edges.forEach((edge, k) => {
      if (edge === edges[k - 1] || edge === edges[k + 1]) return;
      for (const v of [Math.floor(edge / WIDE), edge % WIDE]) {
        ends.push(points[3 * v], points[3 * v + 1], points[3 * v + 2]);
      }
    });
    return ends;
  }

  #look() {
    this.mesh.geometry.computeBoundingSphere();
    const ball = this.mesh.geometry.boundingSphere ?? new Sphere(new Vector3(), 1);
    this.ball = ball;
    this.controls = new OrbitControls(this.camera, this.renderer.domElement);
    this.controls.enablePan = false;
    this.controls.enableZoom = false; // the wheel belongs to the page; two fingers and buttons zoom
    this.controls.rotateSpeed = 0.7;
    this.controls.target.copy(ball.center);
    const way = new Vector3(-0.55, -1, 0.62).normalize();
    this.camera.position.copy(ball.center).addScaledVector(way, ball.radius * 3.5);
    this.controls.update();
    this.controls.addEventListener("change", () => this.draw());
    this.controls.addEventListener("end", () => this.#chooseMarks());
  }

  #resize() {
    const { clientWidth, clientHeight } = this.stage;
    const size = `${clientWidth} ${clientHeight}`;
    if (!clientWidth || !clientHeight || size === this.size) return;
    this.size = size; // that of the picture that there is: it need not be drawn again
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.camera.aspect = clientWidth / clientHeight;
    // the whole body in sight in a tall window too
    this.camera.zoom = Math.min(1, this.camera.aspect * 1.05);
    this.camera.updateProjectionMatrix();
    this.draw();
  }

  #div(kind) {
    const element = document.createElement("div");
    element.className = kind;
    element.hidden = true;
    this.stage.append(element);
    return element;
  }

  #mark(kind) {
    return { kind, face: -1, faces: [0], element: this.#div("mark-at") };
  }

  /** Look for places of the words anew, once the picture is there. */
  #chooseMarks() {
    this.choosing = true;
    this.draw();
  }

  /** Where words stand at a triangle in sight, if there is one. */
  #bestMarks() {
    this.choosing = false;
    for (const mark of this.marks) mark.face = this.#bestOf(mark.faces);
    this.#placeMarks();
  }

  #bestOf(faces) {
    this.camera.updateMatrixWorld();
    const seen = faces.find((face) => this.#inSight(new Vector3(...middleOf(this.map, face)), face));
    return seen ?? faces[0];
  }

  #placeMarks() {
    for (const { face, element } of this.marks) this.#place(element, face, true);
    this.#place(this.dot, this.pointed, false);
  }

  /** Put an element over a triangle; words are hidden where the triangle is behind the body. */
  #place(element, face, words) {
    if (face < 0) {
      element.hidden = true;
      return;
    }
    const at = new Vector3(...middleOf(this.map, face));
    const screen = at.clone().project(this.camera);
    const x = ((screen.x + 1) / 2) * this.stage.clientWidth;
    const y = ((1 - screen.y) / 2) * this.stage.clientHeight;
    element.hidden = words && !this.#inSight(at, face);
    if (element.hidden) return;
    const [dx, dy] = words ? [0, -element.offsetHeight - 9] : [0, 0];
    const room = this.stage.clientWidth - element.offsetWidth;
    const left = words ? Math.min(x, Math.max(room, 0)) : x;
    element.style.transform = `translate(${left + dx}px, ${y + dy}px)`;
  }

  #inSight(at, face) {
    const way = at.clone().sub(this.camera.position);
    const far = way.length();
    const hit = seenBy(this.map, this.camera.position, way.normalize());
    return hit.face < 0 || hit.face === face || Math.abs(hit.distance - far) < 0.004;
  }
}
