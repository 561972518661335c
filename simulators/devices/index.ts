export type { BrokerAccess } from './client';
export { type EsphomeParts, esphomeNode, esphomeText } from './esphome';
export { layoutOf, wiringOf } from './layout';
export {
  floatRegisters,
  type ModbusDevice,
  type ModbusStart,
  startModbusDevice,
  tenthsAtAddress,
} from './modbus-device';
export { ownDrives } from './own';
export {
  checksumOf,
  type LineForm,
  lineOf,
  type SerialDevice,
  type SerialStart,
  startSerialLines,
} from './serial-lines';
export { shellyRelay } from './shelly';
export { type RunningSite, type SiteStart, startSite } from './start-site';
export { pulseTimeS, tasmotaBarometer, tasmotaRelays, tasmotaThermometers, thermometerId } from './tasmota';
export type { Device, Outgoing, Surroundings, WiredDevice, Wiring } from './types';
