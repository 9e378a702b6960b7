// The formed collar as a body: bands of colour, the net of the fabric as cut, seams, and what is
// pointed at. It draws only when something changed.
import {
  BufferAttribute, BufferGeometry, Color, Line, LineBasicMaterial, LineSegments, Mesh,
  MeshBasicMaterial, OrbitControls, PerspectiveCamera, Raycaster, Scene, Sphere, Vector2, Vector3,
  WebGLRenderer,
} from "./vendor/three.js";
import { middleOf } from "./collar_map.mjs";

const NET = 0.025;
const STEP = Math.PI / 12;
const [FRONT, BACK] = [0, 1];
const HATCH = 5.0;

/** Whether this browser draws bodies at all. */
export function drawsBodies() {
  try {
    const canvas = document.createElement("canvas");
    return Boolean(canvas.getContext("webgl2"));
  } catch {
    return false;
  }
}

/** Colour of a custom property of the sheet. */
function ink(name) {
  return new Color(getComputedStyle(document.documentElement).getPropertyValue(name).trim());
}

export class Solid {
  /**
   * @param {HTMLElement} stage where it is drawn
   * @param {object} map as `collar_map.readMap` gives it
   * @param {{least: string, greatest: string, write: (key: string, value: number) => string}} words
   */
  constructor(stage, map, words) {
    this.stage = stage;
    this.map = map;
    this.words = words;
    this.scene = new Scene();
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true });
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    stage.append(this.renderer.domElement);
    this.camera = new PerspectiveCamera(28, 1, 0.01, 20);
    this.camera.up.set(0, 0, 1);
    this.#build();
    this.#look();
    this.marks = ["least", "greatest"].map((kind) => this.#mark(kind));
    this.dot = this.#div("pointed");
    this.pointed = -1;
    this.ray = new Raycaster();
    new ResizeObserver(() => this.#resize()).observe(stage);
    this.#resize();
  }

  /** Paint another quantity. */
  paint(key) {
    const one = this.map.quantities.find((each) => each.key === key);
    const colours = one.colours.map((hex) => new Color(hex));
    const colour = this.mesh.geometry.getAttribute("color");
    const beyond = this.mesh.geometry.getAttribute("beyond");
    for (let face = 0; face < this.map.faces; face += 1) {
      const { r, g, b } = colours[one.classes[face]] ?? colours[0];
      for (let corner = 0; corner < 3; corner += 1) {
        colour.setXYZ(3 * face + corner, r, g, b);
        beyond.setX(3 * face + corner, one.beyond[face]);
      }
    }
    colour.needsUpdate = true;
    beyond.needsUpdate = true;
    this.marks.forEach((mark) => {
      mark.faces = one[mark.kind];
      mark.face = this.#bestOf(mark.faces);
      const value = this.words.write(key, this.map.values[key][mark.faces[0]]);
      mark.element.textContent = `${this.words[mark.kind]} ${value}`;
    });
    this.draw();
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
    const at = new Vector2(
      ((x - box.left) / box.width) * 2 - 1, 1 - ((y - box.top) / box.height) * 2,
    );
    this.ray.setFromCamera(at, this.camera);
    const [hit] = this.ray.intersectObject(this.mesh, false);
    return hit ? hit.faceIndex : -1;
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
      this.#placeMarks();
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
        position.set(points.subarray(vertex, vertex + 3), 9 * face + 3 * corner);
        const on = 2 * piece.corners[own + corner];
        flat.set(piece.flat.subarray(on, on + 2), 6 * face + 2 * corner);
      }
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(position, 3));
    geometry.setAttribute("cloth", new BufferAttribute(flat, 2));
    geometry.setAttribute("color", new BufferAttribute(new Float32Array(9 * faces), 3));
    geometry.setAttribute("beyond", new BufferAttribute(new Float32Array(3 * faces), 1));
    this.mesh = new Mesh(geometry, this.#cloth());
    const inside = new MeshBasicMaterial({ color: ink("--inside"), side: BACK });
    this.scene.add(this.mesh, new Mesh(geometry, this.#pushed(inside)));
    this.#lines();
  }

  /** Bands of exact colour with the net of the fabric, and hatching where a limit is broken. */
  #cloth() {
    const material = this.#pushed(new MeshBasicMaterial({ vertexColors: true, side: FRONT }));
    const paper = ink("--paper");
    material.onBeforeCompile = (shader) => {
      shader.uniforms.paper = { value: paper };
      shader.vertexShader = shader.vertexShader
        .replace("#include <common>", `#include <common>
          attribute vec2 cloth; attribute float beyond;
          varying vec2 vCloth; varying float vBeyond;`)
        .replace("#include <begin_vertex>", `#include <begin_vertex>
          vCloth = cloth; vBeyond = beyond;`);
      shader.fragmentShader = shader.fragmentShader
        .replace("#include <common>", `#include <common>
          uniform vec3 paper; varying vec2 vCloth; varying float vBeyond;`)
        .replace("#include <color_fragment>", `#include <color_fragment>
          vec2 net = vCloth / ${NET.toFixed(4)};
          vec2 away = abs(fract(net - 0.5) - 0.5) / max(fwidth(net), vec2(1e-6));
          float line = 1.0 - clamp(min(away.x, away.y), 0.0, 1.0);
          diffuseColor.rgb = mix(diffuseColor.rgb, paper, 0.42 * line);
          float stripe = step(0.62, fract((gl_FragCoord.x + gl_FragCoord.y) / ${(2 * HATCH).toFixed(1)}));
          diffuseColor.rgb = mix(diffuseColor.rgb, paper, step(0.5, vBeyond) * stripe);`);
    };
    return material;
  }

  #pushed(material) {
    // behind the lines that lie on it
    Object.assign(material, { polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 2 });
    return material;
  }

  #lines() {
    const dark = new LineBasicMaterial({ color: ink("--ink") });
    for (const seam of this.map.seams) {
      const geometry = new BufferGeometry();
      geometry.setAttribute("position", new BufferAttribute(seam, 3));
      this.scene.add(new Line(geometry, dark));
    }
    const rim = this.#rim();
    const geometry = new BufferGeometry();
    geometry.setAttribute("position", new BufferAttribute(rim, 3));
    this.scene.add(new LineSegments(geometry, dark));
  }

  /** Edges that only one triangle has: the free edges of the formed collar. */
  #rim() {
    const { triangles, points, faces } = this.map;
    const count = new Map();
    const name = (a, b) => (a < b ? a * 4294967 + b : b * 4294967 + a);
    for (let face = 0; face < faces; face += 1) {
      for (let corner = 0; corner < 3; corner += 1) {
        const [a, b] = [triangles[3 * face + corner], triangles[3 * face + ((corner + 1) % 3)]];
        const key = name(a, b);
        count.set(key, count.has(key) ? null : [a, b]);
      }
    }
    const ends = [];
    for (const edge of count.values()) {
      if (edge) for (const v of edge) ends.push(...points.subarray(3 * v, 3 * v + 3));
    }
    return new Float32Array(ends);
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
    if (!clientWidth || !clientHeight) return;
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
    return { kind, face: 0, faces: [0], element: this.#div("mark-at") };
  }

  /** Where words stand at a triangle in sight, if there is one. */
  #chooseMarks() {
    for (const mark of this.marks) mark.face = this.#bestOf(mark.faces);
    this.draw();
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
    this.ray.set(this.camera.position, way.normalize());
    const [hit] = this.ray.intersectObject(this.mesh, false);
    return !hit || hit.faceIndex === face || hit.point.distanceTo(at) < 0.004;
  }
}
