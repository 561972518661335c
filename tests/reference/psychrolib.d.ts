declare module 'psychrolib' {
  export const SI: number;
  export function SetUnitSystem(system: number): void;
  export function GetStandardAtmPressure(altitudeM: number): number;
  export function GetSatVapPres(tempC: number): number;
}
