/* Made from the JSON files beside this one, which are the only source: do not edit.
 * REWRITE_VECTORS=1 npx vitest run tests/firmware/vectors makes it anew; a test checks that it is current.
 * Each list calls V once for every vector. Lines are without their newline; `length` counts their bytes.
 */
#pragma once

/* V(name, text, length, checksum) */
#define DASHPOT_CHECKSUMS(V) \
  V("the published check word", "123456789", 9, 0x29B1) \
  V("no bytes at all", "", 0, 0xFFFF) \
  V("one byte", "A", 1, 0xB915) \
  V("one zero byte", "\000", 1, 0xE1F0) \
  V("one byte with all bits set", "\377", 1, 0xFF00) \
  V("a payload", "F,41,7012500,-20417", 19, 0x6DD1) \
  V("all printable characters", " !\"#$%&'()*+,-./0123456789:;<=>\?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~", 95, 0xCE48) \
  V("a checksum that begins with two zeros", "F,289,0,0", 9, 0x00CF)

/* V(name, line, length, letter, sequence, time_us, counts) */
#define DASHPOT_SAMPLES(V) \
  V("force sample", "F,41,7012500,-20417*6DD1", 24, 'F', 41, 7012500u, -20417) \
  V("position sample", "P,42,7014120,8191*E29E", 22, 'P', 42, 7014120u, 8191) \
  V("temperature sample", "T,43,7015000,23437*DFB6", 23, 'T', 43, 7015000u, 23437) \
  V("sample of zeros", "F,0,0,0*7703", 12, 'F', 0, 0u, 0) \
  V("sample at the upper limits", "P,65535,4294967295,2147483647*E05B", 34, 'P', 65535, 4294967295u, 2147483647) \
  V("sample at the lower limit of counts", "F,65535,4294967295,-2147483648*DE57", 35, 'F', 65535, 4294967295u, (-2147483647 - 1)) \
  V("24-bit converter at its upper limit: a frame like any other, saturated only by its channel's limits", "F,9,100,8388607*9850", 20, 'F', 9, 100u, 8388607) \
  V("24-bit converter at its lower limit", "F,9,100,-8388608*9100", 21, 'F', 9, 100u, -8388608) \
  V("minus one", "F,9,100,-1*3E7C", 15, 'F', 9, 100u, -1) \
  V("powers of ten keep their zeros", "F,10000,1000000000,-1000000*2353", 32, 'F', 10000, 1000000000u, -1000000)

/* V(name, line, length, sequence, time_us, event, value) */
#define DASHPOT_EVENTS(V) \
  V("event boot", "E,100,5000000,boot,1*A6E1", 25, 100, 5000000u, boot, 1) \
  V("event overrun", "E,101,5000001,overrun,12*05AB", 29, 101, 5000001u, overrun, 12) \
  V("event overload", "E,102,5000002,overload,1310720*FCC2", 35, 102, 5000002u, overload, 1310720) \
  V("event end-switch", "E,103,5000003,end-switch,2*6B69", 31, 103, 5000003u, end_switch, 2) \
  V("event operator-stop", "E,104,5000004,operator-stop,0*CE6E", 34, 104, 5000004u, operator_stop, 0) \
  V("event lease-lost", "E,105,5000005,lease-lost,1000*6134", 34, 105, 5000005u, lease_lost, 1000) \
  V("event sensor-fault", "E,106,5000006,sensor-fault,1*1F10", 33, 106, 5000006u, sensor_fault, 1) \
  V("event rearmed", "E,107,5000007,rearmed,0*7476", 28, 107, 5000007u, rearmed, 0) \
  V("event tare", "E,108,5000008,tare,9*2609", 25, 108, 5000008u, tare, 9) \
  V("overload in rebound", "E,7,99,overload,-1310720*60A4", 29, 7, 99u, overload, -1310720)

/* V(name, line, length, sequence, command, tag) */
#define DASHPOT_REPLIES(V) \
  V("reply to ID", "A,200,ID,0*FB30", 15, 200, identify, 0) \
  V("reply to START", "A,201,START,1*484F", 18, 201, start, 1) \
  V("reply to STOP", "A,202,STOP,2*E2ED", 17, 202, stop, 2) \
  V("reply to TARE", "A,203,TARE,3*D0E1", 17, 203, tare, 3) \
  V("reply to HALT", "A,204,HALT,4*BBD7", 17, 204, halt, 4) \
  V("reply to BEAT", "A,205,BEAT,5*DAA7", 17, 205, beat, 5) \
  V("reply to RATE", "A,206,RATE,6*6282", 17, 206, rate, 6) \
  V("reply to DRIVE", "A,207,DRIVE,7*6D50", 18, 207, drive, 7)

/* V(name, line, length, sequence, command, tag, code) */
#define DASHPOT_REFUSALS(V) \
  V("refusal unknown-command", "N,300,DRIVE,0,unknown-command*614D", 34, 300, drive, 0, unknown_command) \
  V("refusal bad-argument", "N,301,DRIVE,1,bad-argument*EE46", 31, 301, drive, 1, bad_argument) \
  V("refusal no-drive", "N,302,DRIVE,2,no-drive*3291", 27, 302, drive, 2, no_drive) \
  V("refusal tripped", "N,303,DRIVE,3,tripped*E441", 26, 303, drive, 3, tripped) \
  V("refusal not-running", "N,304,DRIVE,4,not-running*8AB1", 30, 304, drive, 4, not_running) \
  V("refusal busy", "N,305,DRIVE,5,busy*2FE8", 23, 305, drive, 5, busy) \
  V("refusal bad-checksum", "N,306,DRIVE,6,bad-checksum*0CAE", 31, 306, drive, 6, bad_checksum) \
  V("refusal of a line the device could not read", "N,12,\?,0,bad-checksum*D863", 26, 12, unreadable, 0, bad_checksum)

/* V(name, line, length, sequence, firmware, rig, channels, drive) */
#define DASHPOT_IDENTITIES(V) \
  V("identity of a rig with a drive", "I,3,1,bench 1.0.2,garage rig,3,speed*89B2", 41, 3, "bench 1.0.2", "garage rig", 3, speed) \
  V("identity with every kind of character a name may have", "I,0,1,Az09 ._/-,-/_. 90zA,2,none*119D", 37, 0, "Az09 ._/-", "-/_. 90zA", 2, none) \
  V("identity with the longest names", "I,65535,1,ffffffffffffffffffffffffffffffff,rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr,255,speed*48A6", 90, 65535, "ffffffffffffffffffffffffffffffff", "rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr", 255, speed) \
  V("identity with the shortest names", "I,1,1,f,r,0,none*A304", 21, 1, "f", "r", 0, none)

/* V(name, line, length, sequence, kind, unit, counts_min, counts_max, rate_mHz, delay_us, kernel) */
#define DASHPOT_CHANNELS(V) \
  V("force channel", "C,4,force,counts,-8388608,8388607,320000,0,sinc4*E9CF", 53, 4, force, counts, -8388608, 8388607, 320000u, 0, sinc4) \
  V("position channel stamped late", "C,5,position,counts,0,16368,500000,416,none*8ADD", 48, 5, position, counts, 0, 16368, 500000u, 416, none) \
  V("position channel stamped early", "C,5,position,counts,0,4095,1000000,-73,unknown*DE7F", 51, 5, position, counts, 0, 4095, 1000000u, -73, unknown) \
  V("temperature channel", "C,6,temperature,mdegC,-40000,125000,1000,0,one-conversion*19EF", 62, 6, temperature, mdegC, -40000, 125000, 1000u, 0, one_conversion) \
  V("channel at the limits of every integer", "C,65535,force,counts,-2147483648,2147483647,4294967295,-2147483648,sinc3*FBB8", 77, 65535, force, counts, (-2147483647 - 1), 2147483647, 4294967295u, (-2147483647 - 1), sinc3)

/* V(name, line, length, sequence, slowest_mHz, fastest_mHz, lease_ms) */
#define DASHPOT_DRIVES(V) \
  V("drive", "V,7,200,8000,1000*3FB1", 22, 7, 200u, 8000u, 1000u)

/* V(name, line, length, command, tag, kind, value_mHz) */
#define DASHPOT_HOST_LINES(V) \
  V("ID", "ID,0*AD9E", 9, identify, 0, force, 0u) \
  V("START", "START,7*11B5", 12, start, 7, force, 0u) \
  V("STOP", "STOP,14*0790", 12, stop, 14, force, 0u) \
  V("TARE", "TARE,21*C065", 12, tare, 21, force, 0u) \
  V("HALT", "HALT,28*92BD", 12, halt, 28, force, 0u) \
  V("BEAT", "BEAT,35*A4B4", 12, beat, 35, force, 0u) \
  V("RATE of the force channel", "RATE,42,force,320000*1410", 25, rate, 42, force, 320000u) \
  V("RATE of the position channel", "RATE,43,position,0*8139", 23, rate, 43, position, 0u) \
  V("RATE at the upper limits", "RATE,255,temperature,4294967295*81C0", 36, rate, 255, temperature, 4294967295u) \
  V("DRIVE at two revolutions per second", "DRIVE,44,2000*777B", 18, drive, 44, force, 2000u) \
  V("DRIVE at the upper limits", "DRIVE,255,4294967295*7F3A", 25, drive, 255, force, 4294967295u) \
  V("ID with a carriage return", "ID,1*BDBF\015", 10, identify, 1, force, 0u) \
  V("BEAT with a field of a later version", "BEAT,9,late*6AB9", 16, beat, 9, force, 0u) \
  V("DRIVE with a field of a later version", "DRIVE,44,2000,,7*7FA3", 21, drive, 44, force, 2000u)

/* V(name, line, length, fault) */
#define DASHPOT_HOST_FAULTS(V) \
  V("nothing", "", 0, empty) \
  V("typed by hand without a checksum", "ID,1", 4, no_checksum) \
  V("a checksum in lower case", "ID,0*ad9e", 9, bad_checksum) \
  V("a damaged tag", "ID,2*BDBF", 9, bad_checksum) \
  V("121 bytes with a right checksum", "BEAT,1,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*57E4", 121, too_long) \
  V("a bell under a right checksum", "ID,1,\007*0D09", 11, bad_character) \
  V("a command of a later version", "RESET,1*9C65", 12, unknown_type) \
  V("a command in lower case", "id,1*0C37", 9, unknown_type) \
  V("a sample where a host speaks", "F,41,7012500,-20417*6DD1", 24, unknown_type) \
  V("an empty payload", "*FFFF", 5, unknown_type) \
  V("a command without a tag", "ID*A21B", 7, malformed) \
  V("an empty tag", "ID,*6B46", 8, malformed) \
  V("a tag past 8 bits", "ID,256*CBC0", 11, malformed) \
  V("a negative tag", "ID,-1*A91A", 10, malformed) \
  V("a tag with a leading zero", "ID,01*DC35", 10, malformed) \
  V("a rate of another channel", "RATE,1,humidity,1000*2DC4", 25, malformed) \
  V("a rate without a value", "RATE,1,force*AF9C", 17, malformed) \
  V("a negative rate", "RATE,1,force,-1*6944", 20, malformed) \
  V("a fractional speed", "DRIVE,1,2.5*8388", 16, malformed) \
  V("a negative speed", "DRIVE,1,-2000*B34B", 18, malformed) \
  V("a speed past 32 bits", "DRIVE,1,4294967296*2F28", 23, malformed)

/* V(name, line, length, fault) */
#define DASHPOT_ENVELOPES(V) \
  V("nothing", "", 0, empty) \
  V("a lone carriage return", "\015", 1, empty) \
  V("121 bytes with a right checksum", "A,900,STOP,17,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*5808", 121, too_long) \
  V("120 bytes and a carriage return: the limit counts every byte before the newline", "A,900,STOP,17,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*70D9\015", 121, too_long) \
  V("121 bytes of nothing", "\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000", 121, too_long) \
  V("a tab under a right checksum", "A,1,STOP,4,a\011b*424B", 19, bad_character) \
  V("a zero byte under a right checksum", "F,41,7012500,-20417\000*6C0B", 25, bad_character) \
  V("a delete character under a right checksum", "A,1,STOP,4,\177*ECC6", 17, bad_character) \
  V("a byte above 0x7F under a right checksum", "A,1,STOP,4,20 \260C*A318", 21, bad_character) \
  V("two carriage returns", "F,41,7012500,-20417*6DD1\015\015", 26, bad_character) \
  V("a carriage return before the line", "\015F,41,7012500,-20417*6DD1", 25, bad_character) \
  V("two bytes of a boot loader before the line", "\024\020E,0,125,boot,1*A1F9", 21, bad_character) \
  V("bytes of a wrong baud rate", "\346\006\236\230\370\000f\376", 8, bad_character) \
  V("a line cut in its payload", "F,41,70125", 10, no_checksum) \
  V("a line cut in its checksum", "F,41,7012500,-20417*6DD", 23, no_checksum) \
  V("a line cut after its asterisk", "F,41,7012500,-20417*", 20, no_checksum) \
  V("only an asterisk", "*", 1, no_checksum) \
  V("a checksum of five digits", "F,41,7012500,-20417*06DD1", 25, no_checksum) \
  V("a space after the checksum", "F,41,7012500,-20417*6DD1 ", 25, no_checksum) \
  V("two lines whose newline was lost", "F,41,7012500,-20417*6DD1P,42,7014120,8191*E29E", 46, no_checksum) \
  V("an asterisk in the payload under a right checksum", "A,1,STOP,4,a*b*11FE", 19, no_checksum) \
  V("the checksum alone in lower case", "F,41,7012500,-20417*6dd1", 24, bad_checksum) \
  V("digits that are not hexadecimal", "F,41,7012500,-20417*GHIJ", 24, bad_checksum) \
  V("a wrong last digit", "F,41,7012500,-20417*6DD0", 24, bad_checksum) \
  V("checksum bytes swapped", "F,41,7012500,-20417*D16D", 24, bad_checksum) \
  V("the same polynomial started at 0000", "F,41,7012500,-20417*DEB0", 24, bad_checksum) \
  V("half a line glued to the line of a boot", "F,41,70E,0,125,boot,1*A1F9", 26, bad_checksum) \
  V("two digits exchanged", "F,14,7012500,-20417*6DD1", 24, bad_checksum) \
  V("one letter for another", "P,41,7012500,-20417*6DD1", 24, bad_checksum) \
  V("an empty payload", "*FFFF", 5, none) \
  V("an empty first field", ",41,7012500,-20417*BE6F", 23, none) \
  V("a letter of a later version", "Z,41,7012500,-20417*85AD", 24, none) \
  V("a letter in lower case", "f,41,7012500,-20417*0D6B", 24, none) \
  V("a longer first field that begins with a known letter", "FF,41,7012500,-20417*28CF", 25, none) \
  V("a space before the letter", " F,41,7012500,-20417*FEAE", 25, none) \
  V("a command where a device speaks", "START,4*21D6", 12, none) \
  V("a first field that names a property every object has", "constructor,1*4D04", 18, none) \
  V("the letter alone", "F*C9F2", 6, none) \
  V("the letter and a comma", "F,*5F8B", 7, none) \
  V("a field missing", "F,41,7012500*6B8C", 17, none) \
  V("the last field empty", "F,41,7012500,*B423", 18, none) \
  V("a field empty in the middle", "F,41,,-20417*3443", 17, none) \
  V("the sequence number empty", "F,,7012500,-20417*A985", 22, none) \
  V("a leading zero", "F,041,7012500,-20417*4617", 25, none) \
  V("two zeros for none", "F,41,00,-20417*FF8D", 19, none) \
  V("a leading zero after the minus sign", "F,41,7012500,-020417*6EDB", 25, none) \
  V("minus zero", "F,41,7012500,-0*8021", 20, none) \
  V("a plus sign", "F,41,7012500,+20417*E030", 24, none) \
  V("a lone minus sign", "F,41,7012500,-*3190", 19, none) \
  V("two minus signs", "F,41,7012500,--1*E3D5", 21, none) \
  V("a space before a number", "F,41, 7012500,-20417*4354", 25, none) \
  V("a space after a number", "F,41,7012500,-20417 *4869", 25, none) \
  V("a fraction", "F,41,7012500,20417.0*5282", 25, none) \
  V("an exponent", "F,41,7012500,2e4*5847", 21, none) \
  V("counts in hexadecimal with a prefix", "F,41,7012500,0x7FFFFF*0114", 26, none) \
  V("counts in hexadecimal", "F,41,7012500,7FFFFF*492B", 24, none) \
  V("a separator of thousands", "F,41,7012500,20_417*7BE9", 24, none) \
  V("a word for a number", "F,41,7012500,NaN*E637", 21, none) \
  V("a semicolon for a comma", "F,41;7012500,-20417*5BCC", 24, none) \
  V("a sequence number past 16 bits", "F,65536,7012500,-20417*4785", 27, none) \
  V("a negative sequence number", "F,-1,7012500,-20417*E422", 24, none) \
  V("a time past 32 bits", "F,41,4294967296,-20417*02D7", 27, none) \
  V("a negative time", "F,41,-1,-20417*B593", 19, none) \
  V("counts just past 32 bits with a sign", "F,41,7012500,2147483648*92BE", 28, none) \
  V("counts just below 32 bits with a sign", "F,41,7012500,-2147483649*C22F", 29, none) \
  V("counts of eleven digits", "F,41,7012500,10000000000*3746", 29, none) \
  V("counts of forty digits", "F,41,7012500,9999999999999999999999999999999999999999*AE5A", 58, none) \
  V("an identity without a firmware", "I,3,1,,garage rig,3,speed*1FB1", 30, none) \
  V("an identity whose rig has a name of 33 characters", "I,3,1,bench 1,rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr,3,speed*2490", 60, none) \
  V("an identity whose rig has a name with a character names do not have", "I,3,1,bench 1,garage#rig,3,speed*09B4", 37, none) \
  V("an identity with 256 channels", "I,3,1,bench 1,garage rig,256,speed*0136", 39, none) \
  V("an identity with another drive", "I,3,1,bench 1,garage rig,3,torque*9A06", 38, none) \
  V("an identity cut after a field", "I,3,1,bench 1,garage rig,3*1E69", 31, none) \
  V("a version past 16 bits", "I,3,65536,bench 1,garage rig,3,speed*78C2", 41, none) \
  V("a channel of another kind", "C,4,humidity,counts,0,1,1000,0,none*F1E6", 40, none) \
  V("a channel kind in upper case", "C,4,FORCE,counts,0,1,1000,0,none*E943", 37, none) \
  V("a channel in another unit", "C,4,force,grams,0,1,1000,0,none*DEFC", 36, none) \
  V("a channel with another kernel", "C,4,force,counts,0,1,1000,0,sinc5*A96B", 38, none) \
  V("a channel with a negative rate", "C,4,force,counts,0,1,-1000,0,none*3205", 38, none) \
  V("a drive with a negative speed", "V,7,-200,8000,1000*63E8", 23, none) \
  V("a drive without a lease", "V,7,200,8000*FC44", 17, none) \
  V("another event", "E,8,125,earthquake,9*C7B7", 25, none) \
  V("an event named after a property every object has", "E,8,125,toString,9*A66C", 23, none) \
  V("an event without a value", "E,8,125,boot*0A03", 17, none) \
  V("a reply to another command", "A,9,RESET,4*F7EF", 16, none) \
  V("a reply to an unreadable line: those are refused, never done", "A,9,\?,0*EA0A", 12, none) \
  V("a reply without a tag", "A,9,STOP*73BF", 13, none) \
  V("a reply with a tag past 8 bits", "A,9,STOP,256*742B", 17, none) \
  V("a refusal with another code", "N,9,STOP,4,too-tired*30B8", 25, none) \
  V("a refusal without a code", "N,9,STOP,4*68D3", 15, none) \
  V("identity of a rig with a drive", "I,3,1,bench 1.0.2,garage rig,3,speed*89B2", 41, none) \
  V("identity with every kind of character a name may have", "I,0,1,Az09 ._/-,-/_. 90zA,2,none*119D", 37, none) \
  V("identity with the longest names", "I,65535,1,ffffffffffffffffffffffffffffffff,rrrrrrrrrrrrrrrrrrrrrrrrrrrrrrrr,255,speed*48A6", 90, none) \
  V("identity with the shortest names", "I,1,1,f,r,0,none*A304", 21, none) \
  V("identity of a later protocol version, for the host to refuse", "I,3,2,bench 9,garage rig,3,speed,new,newer*C6D5", 47, none) \
  V("force channel", "C,4,force,counts,-8388608,8388607,320000,0,sinc4*E9CF", 53, none) \
  V("position channel stamped late", "C,5,position,counts,0,16368,500000,416,none*8ADD", 48, none) \
  V("position channel stamped early", "C,5,position,counts,0,4095,1000000,-73,unknown*DE7F", 51, none) \
  V("temperature channel", "C,6,temperature,mdegC,-40000,125000,1000,0,one-conversion*19EF", 62, none) \
  V("channel at the limits of every integer", "C,65535,force,counts,-2147483648,2147483647,4294967295,-2147483648,sinc3*FBB8", 77, none) \
  V("drive", "V,7,200,8000,1000*3FB1", 22, none) \
  V("force sample", "F,41,7012500,-20417*6DD1", 24, none) \
  V("position sample", "P,42,7014120,8191*E29E", 22, none) \
  V("temperature sample", "T,43,7015000,23437*DFB6", 23, none) \
  V("sample of zeros", "F,0,0,0*7703", 12, none) \
  V("sample at the upper limits", "P,65535,4294967295,2147483647*E05B", 34, none) \
  V("sample at the lower limit of counts", "F,65535,4294967295,-2147483648*DE57", 35, none) \
  V("24-bit converter at its upper limit: a frame like any other, saturated only by its channel's limits", "F,9,100,8388607*9850", 20, none) \
  V("24-bit converter at its lower limit", "F,9,100,-8388608*9100", 21, none) \
  V("minus one", "F,9,100,-1*3E7C", 15, none) \
  V("powers of ten keep their zeros", "F,10000,1000000000,-1000000*2353", 32, none) \
  V("carriage return before the newline", "F,41,7012500,-20417*6DD1\015", 25, none) \
  V("sample with a field of a later version", "F,41,7012500,-20417,12*2C3E", 27, none) \
  V("sample with later fields of any printable text, even none", "P,42,7014120,8191,,a b;\"c\",*2FAE", 32, none) \
  V("event with a field of a later version", "E,8,125,tare,9,late*4D70", 24, none) \
  V("channel with a field of a later version and a carriage return", "C,4,force,counts,-8388608,8388607,320000,0,sinc4,7*87B6\015", 56, none) \
  V("event boot", "E,100,5000000,boot,1*A6E1", 25, none) \
  V("event overrun", "E,101,5000001,overrun,12*05AB", 29, none) \
  V("event overload", "E,102,5000002,overload,1310720*FCC2", 35, none) \
  V("event end-switch", "E,103,5000003,end-switch,2*6B69", 31, none) \
  V("event operator-stop", "E,104,5000004,operator-stop,0*CE6E", 34, none) \
  V("event lease-lost", "E,105,5000005,lease-lost,1000*6134", 34, none) \
  V("event sensor-fault", "E,106,5000006,sensor-fault,1*1F10", 33, none) \
  V("event rearmed", "E,107,5000007,rearmed,0*7476", 28, none) \
  V("event tare", "E,108,5000008,tare,9*2609", 25, none) \
  V("overload in rebound", "E,7,99,overload,-1310720*60A4", 29, none) \
  V("reply to ID", "A,200,ID,0*FB30", 15, none) \
  V("reply to START", "A,201,START,1*484F", 18, none) \
  V("reply to STOP", "A,202,STOP,2*E2ED", 17, none) \
  V("reply to TARE", "A,203,TARE,3*D0E1", 17, none) \
  V("reply to HALT", "A,204,HALT,4*BBD7", 17, none) \
  V("reply to BEAT", "A,205,BEAT,5*DAA7", 17, none) \
  V("reply to RATE", "A,206,RATE,6*6282", 17, none) \
  V("reply to DRIVE", "A,207,DRIVE,7*6D50", 18, none) \
  V("reply to STOP with the lines dropped during the run", "A,900,STOP,17,3*52A1", 20, none) \
  V("reply with several fields, one of them empty", "A,900,RATE,255,80000,,ok then*4F88", 34, none) \
  V("reply with one empty field", "A,900,STOP,17,*BA52", 19, none) \
  V("the longest line: 120 bytes", "A,900,STOP,17,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*70D9", 120, none) \
  V("refusal unknown-command", "N,300,DRIVE,0,unknown-command*614D", 34, none) \
  V("refusal bad-argument", "N,301,DRIVE,1,bad-argument*EE46", 31, none) \
  V("refusal no-drive", "N,302,DRIVE,2,no-drive*3291", 27, none) \
  V("refusal tripped", "N,303,DRIVE,3,tripped*E441", 26, none) \
  V("refusal not-running", "N,304,DRIVE,4,not-running*8AB1", 30, none) \
  V("refusal busy", "N,305,DRIVE,5,busy*2FE8", 23, none) \
  V("refusal bad-checksum", "N,306,DRIVE,6,bad-checksum*0CAE", 31, none) \
  V("refusal of a line the device could not read", "N,12,\?,0,bad-checksum*D863", 26, none)

/* V(name, bytes, length, lines, faults (one more, so that there is one)) */
#define DASHPOT_STREAMS(V) \
  V("two lines", "F,41,7012500,-20417*6DD1\012P,42,7014120,8191*E29E\012", 48, 2, (Fault::none, Fault::none, Fault::none)) \
  V("lines that end in carriage return and newline", "F,41,7012500,-20417*6DD1\015\012P,42,7014120,8191*E29E\015\012", 50, 2, (Fault::none, Fault::none, Fault::none)) \
  V("a beginning in the middle of a line", "500,-20417*6DD1\012P,42,7014120,8191*E29E\012", 39, 2, (Fault::bad_checksum, Fault::none, Fault::none)) \
  V("half a line, then a restart whose banner brings its own newline", "F,41,7012\012E,0,125,boot,1*A1F9\012P,42,7014120,8191*E29E\012", 53, 3, (Fault::no_checksum, Fault::none, Fault::none, Fault::none)) \
  V("half a line glued to the banner of a restart that brings no newline: the banner is lost, the next line is not", "F,41,7012E,0,125,boot,1*A1F9\012P,42,7014120,8191*E29E\012", 52, 2, (Fault::bad_checksum, Fault::none, Fault::none)) \
  V("an empty line before a banner", "\012E,0,125,boot,1*A1F9\012", 21, 2, (Fault::empty, Fault::none, Fault::none)) \
  V("bytes of a boot loader before the banner", "\024\020\012E,0,125,boot,1*A1F9\012", 23, 2, (Fault::bad_character, Fault::none, Fault::none)) \
  V("garbage of a wrong baud rate before a newline", "\000\377\346\006\236*1234,\200\012F,41,7012500,-20417*6DD1\012", 38, 2, (Fault::bad_character, Fault::none, Fault::none)) \
  V("a lost newline costs both lines and no more", "F,41,7012500,-20417*6DD1P,42,7014120,8191*E29E\012P,42,7014120,8191*E29E\012", 70, 2, (Fault::no_checksum, Fault::none, Fault::none)) \
  V("a newline that noise put inside a line", "F,41,7\012012500,-20417*6DD1\012P,42,7014120,8191*E29E\012", 49, 3, (Fault::no_checksum, Fault::bad_checksum, Fault::none, Fault::none)) \
  V("a newline that noise put at the end of the payload", "F,41,7012500,-20417\012*6DD1\012P,42,7014120,8191*E29E\012", 49, 3, (Fault::no_checksum, Fault::bad_checksum, Fault::none, Fault::none)) \
  V("a flood of 300 bytes", "UUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUU\012F,41,7012500,-20417*6DD1\012", 326, 2, (Fault::too_long, Fault::none, Fault::none)) \
  V("a flood of 300 zero bytes", "\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\000\012F,41,7012500,-20417*6DD1\012", 326, 2, (Fault::too_long, Fault::none, Fault::none)) \
  V("a flood that ends in a right line is one long line", "UUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUF,41,7012500,-20417*6DD1\012P,42,7014120,8191*E29E\012", 198, 2, (Fault::too_long, Fault::none, Fault::none)) \
  V("a flood that begins with a right line is one long line", "F,41,7012500,-20417*6DD1UUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUU\012P,42,7014120,8191*E29E\012", 198, 2, (Fault::too_long, Fault::none, Fault::none)) \
  V("a flood of carriage returns", "\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\015\012F,41,7012500,-20417*6DD1\012", 226, 2, (Fault::too_long, Fault::none, Fault::none)) \
  V("the longest line, then one byte more", "A,900,STOP,17,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*70D9\012A,900,STOP,17,xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx*5808\012", 243, 2, (Fault::none, Fault::too_long, Fault::none)) \
  V("a longest line of noise", "UUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUUU\012F,41,7012500,-20417*6DD1\012", 146, 2, (Fault::no_checksum, Fault::none, Fault::none)) \
  V("an unknown line between two known", "F,41,7012500,-20417*6DD1\012Z,42,new*3442\012P,42,7014120,8191*E29E\012", 62, 3, (Fault::none, Fault::none, Fault::none, Fault::none)) \
  V("a line with a right checksum and a wrong field", "F,041,7012500,-20417*4617\012P,42,7014120,8191*E29E\012", 49, 2, (Fault::none, Fault::none, Fault::none)) \
  V("an unfinished line is not reported", "F,41,7012500,-20417*6DD1\012P,42,7014120,8191*E29E", 47, 1, (Fault::none, Fault::none)) \
  V("nothing but newlines", "\012\015\012\012", 4, 3, (Fault::empty, Fault::empty, Fault::empty, Fault::none)) \
  V("no bytes", "", 0, 0, (Fault::none))
