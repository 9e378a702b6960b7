// The formed collar as the server sends it: see `collar_map.packed` for the order of the arrays.

/**
 * @typedef {object} Piece
 * @property {string} name
 * @property {Float32Array} flat x, y of each vertex [m]
 * @property {Uint16Array|Uint32Array} corners three vertices of each triangle
 * @property {Uint32Array} faces the triangle in space that each is
 */

/** Fetch a map and read it. */
export async function fetchMap(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  return readMap(await answer.arrayBuffer());
}

/** Read the bytes of a map. */
export function readMap(buffer) {
  const magic = String.fromCharCode(...new Uint8Array(buffer, 0, 4));
  if (magic !== "TWM1") throw new Error(`no map of a collar: ${magic}`);
  const size = new DataView(buffer).getUint32(4, true);
  const head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 8, size)));
  let at = 8 + size;
  const take = (Kind, count) => {
    const array = new Kind(buffer, at, count);
    at += Math.ceil((count * Kind.BYTES_PER_ELEMENT) / 4) * 4;
    return array;
  };
  const Index = head.index === 16 ? Uint16Array : Uint32Array;
  const faces = head.triangles;
  const points = take(Float32Array, 3 * head.points);
  const triangles = take(Index, 3 * faces);
  const values = {};
  const quantities = head.quantities.map((one) => {
    values[one.key] = take(Float32Array, faces);
    return { ...one, classes: take(Uint8Array, faces), beyond: take(Uint8Array, faces) };
  });
  values.least = take(Float32Array, faces);
  const seams = head.seams.map((count) => take(Float32Array, 3 * count));
  const pieces = head.pieces.map((one) => ({
    name: one.name,
    flat: take(Float32Array, 2 * one.points),
    corners: take(Index, 3 * one.triangles),
    faces: take(Uint32Array, one.triangles),
  }));
  const places = placesOf(pieces, faces);
  return { faces, points, triangles, values, quantities, seams, pieces, places };
}

/** Of each triangle in space: its piece and its triangle there. */
function placesOf(pieces, faces) {
  const piece = new Uint8Array(faces);
  const own = new Uint32Array(faces);
  pieces.forEach((one, number) => {
    one.faces.forEach((face, k) => {
      piece[face] = number;
      own[face] = k;
    });
  });
  return { piece, own };
}

/** Middle of a triangle on its flat piece: {piece, x, y} [m]. */
export function flatOf(map, face) {
  const piece = map.pieces[map.places.piece[face]];
  const k = 3 * map.places.own[face];
  let x = 0;
  let y = 0;
  for (let corner = 0; corner < 3; corner += 1) {
    x += piece.flat[2 * piece.corners[k + corner]] / 3;
    y += piece.flat[2 * piece.corners[k + corner] + 1] / 3;
  }
  return { piece, x, y };
}

/** Middle of a triangle in space [m]. */
export function middleOf(map, face) {
  const at = [0, 0, 0];
  for (let corner = 0; corner < 3; corner += 1) {
    const vertex = 3 * map.triangles[3 * face + corner];
    for (let axis = 0; axis < 3; axis += 1) at[axis] += map.points[vertex + axis] / 3;
  }
  return at;
}

/**
 * The first triangle whose outer side a ray meets.
 *
 * @param {object} map
 * @param {{x: number, y: number, z: number}} from
 * @param {{x: number, y: number, z: number}} way of length 1
 * @returns {{face: number, distance: number}} -1 and infinity where it meets none
 */
export function seenBy({ points, triangles, faces }, from, way) {
  const { x: fx, y: fy, z: fz } = from;
  const { x: wx, y: wy, z: wz } = way;
  let face = -1;
  let distance = Infinity;
  for (let k = 0; k < faces; k += 1) {
    const a = 3 * triangles[3 * k];
    const b = 3 * triangles[3 * k + 1];
    const c = 3 * triangles[3 * k + 2];
    const ux = points[b] - points[a];
    const uy = points[b + 1] - points[a + 1];
    const uz = points[b + 2] - points[a + 2];
    const vx = points[c] - points[a];
    const vy = points[c + 1] - points[a + 1];
    const vz = points[c + 2] - points[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const against = -(wx * nx + wy * ny + wz * nz);
    if (!(against > 0)) continue; // met from within, or along it
    const dx = fx - points[a];
    const dy = fy - points[a + 1];
    const dz = fz - points[a + 2];
    const t = (dx * nx + dy * ny + dz * nz) / against;
    if (!(t >= 0 && t < distance)) continue;
    const ex = dy * wz - dz * wy;
    const ey = dz * wx - dx * wz;
    const ez = dx * wy - dy * wx;
    const s = vx * ex + vy * ey + vz * ez;
    const r = -(ux * ex + uy * ey + uz * ez);
    if (s < 0 || r < 0 || s + r > against) continue;
    face = k;
    distance = t;
  }
  return { face, distance };
}

/** Finds the triangle of a piece that covers a flat point: a grid of buckets, built once. */
export class Finder {
  constructor(piece, cells = 48) {
    this.piece = piece;
    this.cells = cells;
    let [left, low, right, high] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let k = 0; k < piece.flat.length; k += 2) {
      left = Math.min(left, piece.flat[k]);
      right = Math.max(right, piece.flat[k]);
      low = Math.min(low, piece.flat[k + 1]);
      high = Math.max(high, piece.flat[k + 1]);
    }
    this.box = { left, low, wide: right - left || 1, tall: high - low || 1 };
    this.buckets = Array.from({ length: cells * cells }, () => []);
    for (let t = 0; t < piece.faces.length; t += 1) this.#put(t);
  }

  #corner(t, corner) {
    const vertex = 2 * this.piece.corners[3 * t + corner];
    return [this.piece.flat[vertex], this.piece.flat[vertex + 1]];
  }

  #cell(value, start, size) {
    const cell = Math.floor(((value - start) / size) * this.cells);
    return Math.min(Math.max(cell, 0), this.cells - 1);
  }

  #put(t) {
    const corners = [0, 1, 2].map((corner) => this.#corner(t, corner));
    const span = (axis, start, size) => {
      const cells = corners.map((corner) => this.#cell(corner[axis], start, size));
      return [Math.min(...cells), Math.max(...cells)];
    };
    const [a, b] = span(0, this.box.left, this.box.wide);
    const [c, d] = span(1, this.box.low, this.box.tall);
    for (let i = a; i <= b; i += 1) {
      for (let j = c; j <= d; j += 1) this.buckets[i * this.cells + j].push(t);
    }
  }

  /** The triangle in space whose flat image covers (x, y) [m], or -1. */
  at(x, y) {
    const i = this.#cell(x, this.box.left, this.box.wide);
    const j = this.#cell(y, this.box.low, this.box.tall);
    for (const t of this.buckets[i * this.cells + j]) {
      if (this.#covers(t, x, y)) return this.piece.faces[t];
    }
    return -1;
  }

  #covers(t, x, y) {
    const [a, b, c] = [0, 1, 2].map((corner) => this.#corner(t, corner));
    const side = (p, q) => (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]);
    const signs = [side(a, b), side(b, c), side(c, a)];
    const slack = 1e-10;
    return signs.every((s) => s >= -slack) || signs.every((s) => s <= slack);
  }
}
