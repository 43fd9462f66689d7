'use strict';

const { shuffled } = require('./shuffled.cjs');

/*
 * The part of a tensor library that danfojs-node calls: numbers of rank 0, 1 or 2 in row-major order.
 * Everything is float64, so frame arithmetic rounds like the rest of the program.
 */
class Tensor {
  /** @param {ArrayLike<number>} data row-major values; @param {number[]} shape [], [n] or [rows, columns] */
  constructor(data, shape) {
    this.data = Float64Array.from(data, toNumber);
    this.shape = shape;
    const size = shape.reduce((product, length) => product * length, 1);
    if (this.data.length !== size)
      throw new Error(`${this.data.length} values do not fill the shape [${shape}]`);
  }

  get rank() {
    return this.shape.length;
  }

  arraySync() {
    if (this.rank === 0) return this.data[0];
    if (this.rank === 1) return Array.from(this.data);
    const [rows, columns] = this.shape;
    return Array.from({ length: rows }, (_, row) =>
      Array.from(this.data.subarray(row * columns, (row + 1) * columns)),
    );
  }

  clone() {
    return new Tensor(this.data, [...this.shape]);
  }

  transpose() {
    const [rows, columns] = rowsAndColumns(this);
    const turned = Float64Array.from(
      this.data,
      (_, i) => this.data[(i % rows) * columns + Math.floor(i / rows)],
    );
    return new Tensor(turned, [columns, rows]);
  }

  sqrt() {
    return new Tensor(this.data.map(Math.sqrt), [...this.shape]);
  }

  add(other) {
    return combine(this, other, (a, b) => a + b);
  }
  sub(other) {
    return combine(this, other, (a, b) => a - b);
  }
  mul(other) {
    return combine(this, other, (a, b) => a * b);
  }
  div(other) {
    return combine(this, other, (a, b) => a / b);
  }
  divNoNan(other) {
    return combine(this, other, (a, b) => (b === 0 ? 0 : a / b));
  }
  pow(other) {
    return combine(this, other, (a, b) => a ** b);
  }
  /** The remainder takes the sign of the divisor. */
  mod(other) {
    return combine(this, other, (a, b) => a - b * Math.floor(a / b));
  }

  /* Comparisons give 1 and 0; danfojs turns them into true and false. */
  greater(other) {
    return combine(this, other, (a, b) => Number(a > b));
  }
  less(other) {
    return combine(this, other, (a, b) => Number(a < b));
  }
  greaterEqual(other) {
    return combine(this, other, (a, b) => Number(a >= b));
  }
  lessEqual(other) {
    return combine(this, other, (a, b) => Number(a <= b));
  }
  equal(other) {
    return combine(this, other, (a, b) => Number(a === b));
  }
  notEqual(other) {
    return combine(this, other, (a, b) => Number(a !== b));
  }

  /* Along axis 0, the only one danfojs asks for: one value per column, or one value of a list. */
  max() {
    return alongRows(this, (column) => column.reduce((a, b) => Math.max(a, b), -Infinity));
  }
  min() {
    return alongRows(this, (column) => column.reduce((a, b) => Math.min(a, b), Infinity));
  }
  mean() {
    return alongRows(this, (column) => column.reduce((a, b) => a + b, 0) / column.length);
  }

  argMax() {
    return scalar(this.data.indexOf(this.data.reduce((a, b) => Math.max(a, b), -Infinity)));
  }
  argMin() {
    return scalar(this.data.indexOf(this.data.reduce((a, b) => Math.min(a, b), Infinity)));
  }
}

/** Applies `operate` to two tensors, repeating a length of 1 (or a missing leading axis) to match the other. */
function combine(left, right, operate) {
  const [leftRows, leftColumns] = rowsAndColumns(left);
  const [rightRows, rightColumns] = rowsAndColumns(right);
  const rows = sharedLength(leftRows, rightRows);
  const columns = sharedLength(leftColumns, rightColumns);
  const result = new Float64Array(rows * columns);
  for (let row = 0; row < rows; row++) {
    const leftStart = leftRows === 1 ? 0 : row * leftColumns;
    const rightStart = rightRows === 1 ? 0 : row * rightColumns;
    for (let column = 0; column < columns; column++)
      result[row * columns + column] = operate(
        left.data[leftStart + (leftColumns === 1 ? 0 : column)],
        right.data[rightStart + (rightColumns === 1 ? 0 : column)],
      );
  }
  return new Tensor(result, [rows, columns].slice(2 - Math.max(left.rank, right.rank)));
}

/* A missing value or a text would turn into 0 or NaN in silence. */
function toNumber(value) {
  if (typeof value === 'number' || typeof value === 'boolean') return Number(value);
  throw new TypeError(`A tensor holds numbers, not ${value === null ? 'null' : typeof value}`);
}

function sharedLength(a, b) {
  if (a !== b && a !== 1 && b !== 1) throw new Error(`Lengths ${a} and ${b} do not match`);
  return a === 1 ? b : a;
}

function alongRows(tensor, reduce) {
  if (tensor.rank < 2) return scalar(reduce(tensor.data));
  const [rows, columns] = tensor.shape;
  const results = Array.from({ length: columns }, (_, column) =>
    reduce(Float64Array.from({ length: rows }, (_, row) => tensor.data[row * columns + column])),
  );
  return new Tensor(results, [columns]);
}

function rowsAndColumns({ shape }) {
  return [shape[shape.length - 2] ?? 1, shape[shape.length - 1] ?? 1];
}

function scalar(value) {
  return new Tensor([value], []);
}

function tensor1d(values) {
  return new Tensor(values, [values.length]);
}

/** From rows, or from flat row-major values with their shape. */
function tensor2d(values, shape) {
  return new Tensor(values.flat(), shape ?? [values.length, values[0].length]);
}

/** Mean and population variance along axis 0. */
function moments(tensor) {
  const mean = tensor.mean();
  const deviation = tensor.sub(mean);
  return { mean, variance: deviation.mul(deviation).mean() };
}

/** A list from which danfojs draws its samples: `data.array(list).shuffle(n, seed).take(n).toArray()`. */
const data = {
  array: (items) => ({
    shuffle: (_bufferSize, seed) => data.array(shuffled(items, seed)),
    take: (count) => data.array(items.slice(0, count)),
    toArray: async () => [...items],
  }),
};

module.exports = { Tensor, scalar, tensor1d, tensor2d, moments, data };
