/** Warming of oil and body by the power the shock dissipates. */
export interface ShockHeat {
  oil_degC: number;
  body_degC: number;
  /**
   * @param heat_J heat put into the oil during the step
   * @param dt_s its duration; any length
   */
  step(heat_J: number, dt_s: number): void;
}

export interface ThermalBody {
  readonly oil_J_per_K: number;
  readonly body_J_per_K: number;
  readonly oilToBody_W_per_K: number;
  readonly bodyToRoom_W_per_K: number;
}

/** About 3 cm³ of silicone oil at 1.5 J/(g·K) and 15 g of aluminium at 0.9 J/(g·K), in still air (from memory). */
export const smallShockBody: ThermalBody = {
  oil_J_per_K: 4.5,
  body_J_per_K: 14,
  oilToBody_W_per_K: 1.5,
  bodyToRoom_W_per_K: 0.06,
};

/** Starts oil and body at one temperature in a room at another. */
export function shockHeat(body: ThermalBody, start_degC: number, room_degC: number): ShockHeat {
  const longest_s = (0.2 * body.oil_J_per_K) / body.oilToBody_W_per_K;
  return {
    oil_degC: start_degC,
    body_degC: start_degC,
    step(heat_J, dt_s) {
      const steps = Math.ceil(dt_s / longest_s);
      const h = dt_s / steps;
      for (let i = 0; i < steps; i++) {
        const inward_J = body.oilToBody_W_per_K * (this.oil_degC - this.body_degC) * h;
        const outward_J = body.bodyToRoom_W_per_K * (this.body_degC - room_degC) * h;
        this.oil_degC += (heat_J / steps - inward_J) / body.oil_J_per_K;
        this.body_degC += (inward_J - outward_J) / body.body_J_per_K;
      }
    },
  };
}
