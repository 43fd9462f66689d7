/**
 * Linear sets of the NIST/ITL Statistical Reference Datasets (StRD), doi 10.18434/T43G6C: data and certified values as
 * published, US Government work. Wampler's responses are sums of the powers, some with a fixed disturbance added.
 */
export interface LinearSet {
  readonly name: string;
  /** The publication that NIST names for the data. */
  readonly reference: string;
  /** `polynomial` of the degree, `predictors` with a constant, or `through-zero`. */
  readonly model:
    | { readonly kind: 'polynomial'; readonly degree: number }
    | { readonly kind: 'predictors' | 'through-zero' };
  readonly y: readonly number[];
  /** One array per predictor. */
  readonly x: readonly (readonly number[])[];
  readonly certified: {
    readonly coefficients: readonly number[];
    readonly standardErrors: readonly number[];
    readonly residualSd: number;
    readonly rSquared: number;
  };
}

export const linearSets: readonly LinearSet[] = [
  {
    name: 'Norris',
    reference: 'Norris, J., NIST. Calibration of Ozone Monitors.',
    model: { kind: 'polynomial', degree: 1 },
    y: [
      0.1, 338.8, 118.1, 888, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3,
      448.9, 10.8, 557.7, 228.3, 998, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888, 998.5, 778.9, 10.2, 117.6,
      228.9, 668.4, 449.2, 0.2,
    ],
    x: [
      [
        0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777, 558.2, 0.4, 0.6, 775.5, 666.9, 338,
        447.5, 11.6, 556, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999, 779, 11.1, 118.3,
        229.2, 669.1, 448.9, 0.5,
      ],
    ],
    certified: {
      coefficients: [-0.262323073774029, 1.00211681802045],
      standardErrors: [0.232818234301152, 0.429796848199937e-3],
      residualSd: 0.884796396144373,
      rSquared: 0.999993745883712,
    },
  },
  {
    name: 'Pontius',
    reference: 'Pontius, P., NIST. Load Cell Calibration.',
    model: { kind: 'polynomial', degree: 2 },
    y: [
      0.11019, 0.21956, 0.32949, 0.43899, 0.54803, 0.65694, 0.76562, 0.87487, 0.98292, 1.09146, 1.20001,
      1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844, 0.11052, 0.22018,
      0.32939, 0.43886, 0.54798, 0.65739, 0.76596, 0.87474, 0.983, 1.0915, 1.20004, 1.30818, 1.41613, 1.52408,
      1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829,
    ],
    x: [
      [
        150000, 300000, 450000, 600000, 750000, 900000, 1050000, 1200000, 1350000, 1500000, 1650000, 1800000,
        1950000, 2100000, 2250000, 2400000, 2550000, 2700000, 2850000, 3000000, 150000, 300000, 450000,
        600000, 750000, 900000, 1050000, 1200000, 1350000, 1500000, 1650000, 1800000, 1950000, 2100000,
        2250000, 2400000, 2550000, 2700000, 2850000, 3000000,
      ],
    ],
    certified: {
      coefficients: [0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14],
      standardErrors: [0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16],
      residualSd: 0.205177424076185e-3,
      rSquared: 0.999999900178537,
    },
  },
  {
    name: 'Longley',
    reference:
      'Longley, J. W. (1967). An Appraisal of Least Squares Programs for the Electronic Computer from the Viewpoint of the User. Journal of the American Statistical Association, 62, pp. 819-841.',
    model: { kind: 'predictors' },
    y: [
      60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761, 66019, 67857, 68169, 66513, 68655, 69564, 69331,
      70551,
    ],
    x: [
      [83, 88.5, 88.2, 89.5, 96.2, 98.1, 99, 100, 101.2, 104.6, 108.4, 110.8, 112.6, 114.2, 115.7, 116.9],
      [
        234289, 259426, 258054, 284599, 328975, 346999, 365385, 363112, 397469, 419180, 442769, 444546,
        482704, 502601, 518173, 554894,
      ],
      [2356, 2325, 3682, 3351, 2099, 1932, 1870, 3578, 2904, 2822, 2936, 4681, 3813, 3931, 4806, 4007],
      [1590, 1456, 1616, 1650, 3099, 3594, 3547, 3350, 3048, 2857, 2798, 2637, 2552, 2514, 2572, 2827],
      [
        107608, 108632, 109773, 110929, 112075, 113270, 115094, 116219, 117388, 118734, 120445, 121950,
        123366, 125368, 127852, 130081,
      ],
      [1947, 1948, 1949, 1950, 1951, 1952, 1953, 1954, 1955, 1956, 1957, 1958, 1959, 1960, 1961, 1962],
    ],
    certified: {
      coefficients: [
        -3482258.63459582, 15.0618722713733, -0.35819179292591e-1, -2.02022980381683, -1.03322686717359,
        -0.511041056535807e-1, 1829.15146461355,
      ],
      standardErrors: [
        890420.383607373, 84.9149257747669, 0.334910077722432e-1, 0.488399681651699, 0.214274163161675,
        0.22607320006937, 455.478499142212,
      ],
      residualSd: 304.854073561965,
      rSquared: 0.995479004577296,
    },
  },
  {
    name: 'Wampler1',
    reference:
      'Wampler, R. H. (1970). A Report of the Accuracy of Some Widely-Used Least Squares Computer Programs. Journal of the American Statistical Association, 65, pp. 549-565.',
    model: { kind: 'polynomial', degree: 5 },
    y: [
      1, 6, 63, 364, 1365, 3906, 9331, 19608, 37449, 66430, 111111, 177156, 271453, 402234, 579195, 813616,
      1118481, 1508598, 2000719, 2613660, 3368421,
    ],
    x: [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20]],
    certified: {
      coefficients: [1, 1, 1, 1, 1, 1],
      standardErrors: [0, 0, 0, 0, 0, 0],
      residualSd: 0,
      rSquared: 1,
    },
  },
  {
    name: 'Wampler2',
    reference:
      'Wampler, R. H. (1970). A Report of the Accuracy of Some Widely-Used Least Squares Computer Programs. Journal of the American Statistical Association, 65, pp. 549-565.',
    model: { kind: 'polynomial', degree: 5 },
    y: [
      1, 1.11111, 1.24992, 1.42753, 1.65984, 1.96875, 2.38336, 2.94117, 3.68928, 4.68559, 6, 7.71561, 9.92992,
      12.75603, 16.32384, 20.78125, 26.29536, 33.05367, 41.26528, 51.16209, 63,
    ],
    x: [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20]],
    certified: {
      coefficients: [1, 0.1, 0.1e-1, 0.1e-2, 0.1e-3, 0.1e-4],
      standardErrors: [0, 0, 0, 0, 0, 0],
      residualSd: 0,
      rSquared: 1,
    },
  },
  {
    name: 'Wampler3',
    reference:
      'Wampler, R. H. (1970). A Report of the Accuracy of Some Widely-Used Least Squares Computer Programs. Journal of the American Statistical Association, 65, pp. 549-565.',
    model: { kind: 'polynomial', degree: 5 },
    y: [
      760, -2042, 2111, -1684, 3888, 1858, 11379, 17560, 39287, 64382, 113159, 175108, 273291, 400186, 581243,
      811568, 1121004, 1506550, 2002767, 2611612, 3369180,
    ],
    x: [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20]],
    certified: {
      coefficients: [1, 1, 1, 1, 1, 1],
      standardErrors: [
        2152.3262467817, 2363.55173469681, 779.343524331583, 101.47550755035, 5.64566512170752,
        0.112324854679312,
      ],
      residualSd: 2360.14502379268,
      rSquared: 0.99999555902582,
    },
  },
  {
    name: 'Wampler4',
    reference:
      'Wampler, R. H. (1970). A Report of the Accuracy of Some Widely-Used Least Squares Computer Programs. Journal of the American Statistical Association, 65, pp. 549-565.',
    model: { kind: 'polynomial', degree: 5 },
    y: [
      75901, -204794, 204863, -204436, 253665, -200894, 214131, -185192, 221249, -138370, 315911, -27644,
      455253, 197434, 783995, 608816, 1370781, 1303798, 2205519, 2408860, 3444321,
    ],
    x: [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20]],
    certified: {
      coefficients: [1, 1, 1, 1, 1, 1],
      standardErrors: [
        215232.62467817, 236355.173469681, 77934.3524331583, 10147.550755035, 564.566512170752,
        11.2324854679312,
      ],
      residualSd: 236014.502379268,
      rSquared: 0.957478440825662,
    },
  },
  {
    name: 'Wampler5',
    reference:
      'Wampler, R. H. (1970). A Report of the Accuracy of Some Widely-Used Least Squares Computer Programs. Journal of the American Statistical Association, 65, pp. 549-565.',
    model: { kind: 'polynomial', degree: 5 },
    y: [
      7590001, -20479994, 20480063, -20479636, 25231365, -20476094, 20489331, -20460392, 18417449, -20413570,
      20591111, -20302844, 18651453, -20077766, 21059195, -19666384, 26348481, -18971402, 22480719, -17866340,
      10958421,
    ],
    x: [[0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20]],
    certified: {
      coefficients: [1, 1, 1, 1, 1, 1],
      standardErrors: [
        21523262.467817, 23635517.3469681, 7793435.24331583, 1014755.0755035, 56456.6512170752,
        1123.24854679312,
      ],
      residualSd: 23601450.2379268,
      rSquared: 0.22466892157494e-2,
    },
  },
  {
    name: 'NoInt1',
    reference: 'Eberhardt, K., NIST.',
    model: { kind: 'through-zero' },
    y: [130, 131, 132, 133, 134, 135, 136, 137, 138, 139, 140],
    x: [[60, 61, 62, 63, 64, 65, 66, 67, 68, 69, 70]],
    certified: {
      coefficients: [2.07438016528926],
      standardErrors: [0.165289256198347e-1],
      residualSd: 3.56753034006338,
      rSquared: 0.999365492298663,
    },
  },
  {
    name: 'NoInt2',
    reference: 'Eberhardt, K., NIST.',
    model: { kind: 'through-zero' },
    y: [3, 4, 4],
    x: [[4, 5, 6]],
    certified: {
      coefficients: [0.727272727272727],
      standardErrors: [0.420827318078432e-1],
      residualSd: 0.369274472937998,
      rSquared: 0.993348115299335,
    },
  },
];
