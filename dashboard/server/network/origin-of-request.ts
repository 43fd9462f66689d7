import { BlockList, isIPv4 } from 'node:net';
import { networkInterfaces } from 'node:os';
import type { FastifyRequest } from 'fastify';

/** Networks that no router passes on to the internet. Source: RFC 1918, section 3; RFC 3927, section 2.1. */
const homeNetworks = new BlockList();
homeNetworks.addSubnet('10.0.0.0', 8);
homeNetworks.addSubnet('172.16.0.0', 12);
homeNetworks.addSubnet('192.168.0.0', 16);
homeNetworks.addSubnet('169.254.0.0', 16);

/** What a proxy adds; its own address would otherwise be taken for the asker's. */
const proxyHeaders = ['forwarded', 'x-forwarded-for', 'x-real-ip', 'via'];

/** Where a request came from: this machine itself, or another one, whatever passed it on. */
export function isFromThisMachine({ headers, socket }: Pick<FastifyRequest, 'headers' | 'socket'>): boolean {
  const address = plainAddress(socket.remoteAddress);
  const isHere = address === '::1' || (isIPv4(address) && address.startsWith('127.'));
  return isHere && !proxyHeaders.some((name) => name in headers);
}

/** Whether an address belongs to a home network. */
export function isHomeAddress(address: string | undefined): boolean {
  const plain = plainAddress(address);
  return isIPv4(plain) && homeNetworks.check(plain);
}

/** This machine's addresses in home networks, for others to open the page at. */
export function ownHomeAddresses(): string[] {
  return Object.values(networkInterfaces())
    .flatMap((addresses) => addresses ?? [])
    .filter(({ address, internal }) => !internal && isHomeAddress(address))
    .map(({ address }) => address);
}

/** An IPv4 address that came in the form of IPv6 as itself. */
function plainAddress(address: string | undefined): string {
  return address?.replace(/^::ffff:/i, '') ?? '';
}
