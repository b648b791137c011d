BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('r0004');
CREATE TABLE calibrations (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	instrument_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	"offset" FLOAT NOT NULL, 
	uncertainty FLOAT NOT NULL, 
	due VARCHAR(10), 
	against TEXT NOT NULL, 
	replaces_id INTEGER, 
	strikes INTEGER NOT NULL, 
	CONSTRAINT pk_calibrations PRIMARY KEY (id), 
	CONSTRAINT uq_calibrations_replaces_id UNIQUE (replaces_id), 
	CONSTRAINT fk_calibrations_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_calibrations_instrument_id FOREIGN KEY(instrument_id) REFERENCES instruments (id), 
	CONSTRAINT fk_calibrations_replaces_id FOREIGN KEY(replaces_id) REFERENCES calibrations (id)
);
CREATE TABLE entries (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	kind VARCHAR(16) NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	roller_id INTEGER, 
	partner_id INTEGER, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	contact VARCHAR(49) NOT NULL, 
	person TEXT NOT NULL, 
	instrument_id INTEGER, 
	temperature_c FLOAT, 
	reliable INTEGER NOT NULL, 
	arrival INTEGER NOT NULL, 
	grade VARCHAR(16) NOT NULL, 
	product TEXT NOT NULL, 
	impressions INTEGER, 
	remarks TEXT NOT NULL, 
	replaces_id INTEGER, 
	strikes INTEGER NOT NULL, 
	CONSTRAINT pk_entries PRIMARY KEY (id), 
	CONSTRAINT uq_entries_replaces_id UNIQUE (replaces_id), 
	CONSTRAINT fk_entries_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_entries_roller_id FOREIGN KEY(roller_id) REFERENCES rollers (id), 
	CONSTRAINT fk_entries_partner_id FOREIGN KEY(partner_id) REFERENCES rollers (id), 
	CONSTRAINT fk_entries_instrument_id FOREIGN KEY(instrument_id) REFERENCES instruments (id), 
	CONSTRAINT fk_entries_replaces_id FOREIGN KEY(replaces_id) REFERENCES entries (id)
);
CREATE TABLE instruments (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	name VARCHAR(40) NOT NULL, 
	kind VARCHAR(16) NOT NULL, 
	unit VARCHAR(8) NOT NULL, 
	remarks TEXT NOT NULL, 
	CONSTRAINT pk_instruments PRIMARY KEY (id), 
	CONSTRAINT uq_instruments_name UNIQUE (name), 
	CONSTRAINT fk_instruments_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
CREATE TABLE jobs (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	code VARCHAR(9) NOT NULL, 
	printed_on VARCHAR(10) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	title TEXT NOT NULL, 
	ink TEXT NOT NULL, 
	stock TEXT NOT NULL, 
	remarks TEXT NOT NULL, 
	operator TEXT NOT NULL, 
	sheets INTEGER, 
	sheets_to_ok INTEGER, 
	waste_sheets INTEGER, 
	sweep FLOAT, 
	water FLOAT, 
	aim_density FLOAT, 
	invented INTEGER NOT NULL, aim_status VARCHAR(8) DEFAULT '' NOT NULL, aim_backing VARCHAR(8) DEFAULT '' NOT NULL, aim_polarised INTEGER, saturation FLOAT, rate_per_um FLOAT, sheet_length_mm FLOAT, sheet_width_mm FLOAT, 
	CONSTRAINT pk_jobs PRIMARY KEY (id), 
	CONSTRAINT uq_jobs_code UNIQUE (code), 
	CONSTRAINT fk_jobs_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "jobs" VALUES(1,1,'1SGW-FHFW','2030-03-04','dipper','A','Letterhead (invented)','black','offset 80','','',NULL,NULL,NULL,4.0,NULL,1.4,0,'','',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "jobs" VALUES(2,2,'2C7G-488J','2030-03-05','heron','A','Poster (invented)','','','','',NULL,NULL,NULL,4.0,NULL,NULL,0,'','',NULL,NULL,NULL,NULL,NULL);
INSERT INTO "jobs" VALUES(3,4,'NAMN-D5RE','2026-03-02','dipper','A','a form','','','','',NULL,NULL,NULL,5.0,NULL,1.4,1,'E','black',1,1.9,1.47,330.0,260.0);
CREATE TABLE plan_zones (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	plan_id INTEGER NOT NULL, 
	zone INTEGER NOT NULL, 
	coverage FLOAT NOT NULL, 
	"key" FLOAT NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_plan_zones_plan_id UNIQUE (plan_id, zone), 
	CONSTRAINT fk_plan_zones_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_plan_zones_plan_id FOREIGN KEY(plan_id) REFERENCES plans (id)
);
INSERT INTO "plan_zones" VALUES(1,5,1,1,0.1,6.0);
INSERT INTO "plan_zones" VALUES(2,5,1,2,0.2,7.0);
INSERT INTO "plan_zones" VALUES(3,5,1,3,3.00000000000000044408e-01,8.0);
INSERT INTO "plan_zones" VALUES(4,5,1,4,0.4,9.0);
CREATE TABLE plans (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	code VARCHAR(9) NOT NULL, 
	planned_on VARCHAR(10) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	title TEXT NOT NULL, 
	ink TEXT NOT NULL, 
	stock TEXT NOT NULL, 
	sheets INTEGER, 
	sweep FLOAT, 
	aim_density FLOAT, 
	saturation FLOAT, 
	rate_per_um FLOAT, 
	sheet_length_mm FLOAT, 
	sheet_width_mm FLOAT, 
	invented INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_plans_code UNIQUE (code), 
	CONSTRAINT fk_plans_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "plans" VALUES(1,5,'KXWG-K6WS','2030-03-04','heron','A','Poster, two 50 % bars','black','coated 135',500,4.0,1.4,NULL,NULL,NULL,NULL,1);
CREATE TABLE points (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	entry_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	place VARCHAR(16) NOT NULL, 
	angle_deg FLOAT, 
	hardness_shore_a FLOAT, 
	diameter_mm FLOAT, 
	run_out_mm FLOAT, 
	width_mm FLOAT, 
	play_mm FLOAT, 
	stroke_mm FLOAT, 
	dwell_mm FLOAT, 
	zero_divisions FLOAT, 
	CONSTRAINT pk_points PRIMARY KEY (id), 
	CONSTRAINT uq_points_entry_id UNIQUE (entry_id, number), 
	CONSTRAINT fk_points_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_points_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)
);
CREATE TABLE positions (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	roller_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	whereabouts VARCHAR(12) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	place VARCHAR(24) NOT NULL, 
	note TEXT NOT NULL, 
	replaces_id INTEGER, 
	strikes INTEGER NOT NULL, 
	CONSTRAINT pk_positions PRIMARY KEY (id), 
	CONSTRAINT uq_positions_replaces_id UNIQUE (replaces_id), 
	CONSTRAINT fk_positions_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_positions_roller_id FOREIGN KEY(roller_id) REFERENCES rollers (id), 
	CONSTRAINT fk_positions_replaces_id FOREIGN KEY(replaces_id) REFERENCES positions (id)
);
INSERT INTO "positions" VALUES(1,3,1,'2026-11-25','press','dipper','A','F1','',NULL,0);
INSERT INTO "positions" VALUES(2,3,2,'2026-11-25','press','dipper','A','F2','',NULL,0);
INSERT INTO "positions" VALUES(3,3,3,'2026-11-25','press','dipper','A','D1','',NULL,0);
INSERT INTO "positions" VALUES(4,3,4,'2026-11-25','press','dipper','A','D2','',NULL,0);
INSERT INTO "positions" VALUES(5,3,5,'2026-11-25','press','dipper','A','S1','',NULL,0);
INSERT INTO "positions" VALUES(6,3,6,'2026-11-25','press','dipper','A','R1','',NULL,0);
INSERT INTO "positions" VALUES(7,3,7,'2026-11-25','press','dipper','A','IF','',NULL,0);
INSERT INTO "positions" VALUES(8,3,8,'2026-11-25','press','dipper','A','DU','',NULL,0);
INSERT INTO "positions" VALUES(9,3,9,'2026-11-25','press','dipper','A','WO','',NULL,0);
INSERT INTO "positions" VALUES(10,3,10,'2026-11-25','press','dipper','A','WD','',NULL,0);
INSERT INTO "positions" VALUES(11,3,11,'2026-11-25','press','dipper','A','PR','',NULL,0);
INSERT INTO "positions" VALUES(12,3,12,'2026-11-25','press','dipper','B','F1','',NULL,0);
INSERT INTO "positions" VALUES(13,3,13,'2026-11-25','press','dipper','B','F2','',NULL,0);
INSERT INTO "positions" VALUES(14,3,14,'2026-11-25','press','dipper','B','D1','',NULL,0);
INSERT INTO "positions" VALUES(15,3,15,'2026-11-25','press','dipper','B','D2','',NULL,0);
INSERT INTO "positions" VALUES(16,3,16,'2026-11-25','press','dipper','B','S1','',NULL,0);
INSERT INTO "positions" VALUES(17,3,17,'2026-11-25','press','dipper','B','R1','',NULL,0);
INSERT INTO "positions" VALUES(18,3,18,'2026-11-25','press','dipper','B','IF','',NULL,0);
INSERT INTO "positions" VALUES(19,3,19,'2026-11-25','press','dipper','B','DU','',NULL,0);
INSERT INTO "positions" VALUES(20,3,20,'2026-11-25','press','dipper','B','WO','',NULL,0);
INSERT INTO "positions" VALUES(21,3,21,'2026-11-25','press','dipper','B','WD','',NULL,0);
INSERT INTO "positions" VALUES(22,3,22,'2026-11-25','press','dipper','B','PR','',NULL,0);
INSERT INTO "positions" VALUES(23,3,23,'2026-11-25','press','dipper','C','F1','',NULL,0);
INSERT INTO "positions" VALUES(24,3,24,'2026-11-25','press','dipper','C','F2','',NULL,0);
INSERT INTO "positions" VALUES(25,3,25,'2026-11-25','press','dipper','C','D1','',NULL,0);
INSERT INTO "positions" VALUES(26,3,26,'2026-11-25','press','dipper','C','D2','',NULL,0);
INSERT INTO "positions" VALUES(27,3,27,'2026-11-25','press','dipper','C','S1','',NULL,0);
INSERT INTO "positions" VALUES(28,3,28,'2026-11-25','press','dipper','C','R1','',NULL,0);
INSERT INTO "positions" VALUES(29,3,29,'2026-11-25','press','dipper','C','IF','',NULL,0);
INSERT INTO "positions" VALUES(30,3,30,'2026-11-25','press','dipper','C','DU','',NULL,0);
INSERT INTO "positions" VALUES(31,3,31,'2026-11-25','press','dipper','C','WO','',NULL,0);
INSERT INTO "positions" VALUES(32,3,32,'2026-11-25','press','dipper','C','WD','',NULL,0);
INSERT INTO "positions" VALUES(33,3,33,'2026-11-25','press','dipper','C','PR','',NULL,0);
CREATE TABLE readings (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	sheet INTEGER, 
	zone INTEGER NOT NULL, 
	density FLOAT NOT NULL, 
	status VARCHAR(8) NOT NULL, 
	polarised INTEGER, 
	backing VARCHAR(8) NOT NULL, 
	CONSTRAINT pk_readings PRIMARY KEY (id), 
	CONSTRAINT fk_readings_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_readings_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "readings" VALUES(1,1,1,NULL,1,1.2,'E',NULL,'');
INSERT INTO "readings" VALUES(2,1,1,NULL,2,1.3,'E',NULL,'');
INSERT INTO "readings" VALUES(3,1,1,NULL,3,1.45,'E',NULL,'');
INSERT INTO "readings" VALUES(4,1,1,NULL,4,1.4,'E',NULL,'');
INSERT INTO "readings" VALUES(5,1,1,NULL,5,1.39,'E',NULL,'');
INSERT INTO "readings" VALUES(6,1,1,NULL,6,1.4,'E',NULL,'');
INSERT INTO "readings" VALUES(7,1,1,NULL,7,1.5,'E',NULL,'');
INSERT INTO "readings" VALUES(8,1,1,NULL,8,1.6,'E',NULL,'');
INSERT INTO "readings" VALUES(9,4,3,NULL,1,1.38,'E',NULL,'');
CREATE TABLE roller_facts (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	roller_id INTEGER NOT NULL, 
	since VARCHAR(10) NOT NULL, 
	role TEXT NOT NULL, 
	drawing_number TEXT NOT NULL, 
	colour TEXT NOT NULL, 
	ends TEXT NOT NULL, 
	bearings TEXT NOT NULL, 
	cover_material TEXT NOT NULL, 
	made TEXT NOT NULL, 
	supplier TEXT NOT NULL, 
	remarks TEXT NOT NULL, 
	drawn_diameter_mm FLOAT, 
	diameter_tolerance_mm FLOAT, 
	least_diameter_mm FLOAT, 
	face_mm FLOAT, 
	overall_mm FLOAT, 
	core_diameter_mm FLOAT, 
	journal_mm FLOAT, 
	cover_thickness_mm FLOAT, 
	crown_mm FLOAT, 
	roughness_um FLOAT, 
	drawn_hardness_shore_a FLOAT, 
	arrival_hardness_shore_a FLOAT, 
	arrival_diameter_mm FLOAT, 
	arrival_run_out_mm FLOAT, 
	price FLOAT, 
	received_on VARCHAR(10), 
	lead_time_days INTEGER, 
	CONSTRAINT pk_roller_facts PRIMARY KEY (id), 
	CONSTRAINT fk_roller_facts_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_roller_facts_roller_id FOREIGN KEY(roller_id) REFERENCES rollers (id)
);
INSERT INTO "roller_facts" VALUES(1,3,1,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,8.0,NULL,NULL,26.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(2,3,2,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,27.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(3,3,3,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',56.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(4,3,4,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',52.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(5,3,5,'2026-11-25','distributor','','','round 12 mm journal in an open hook','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,30.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(6,3,6,'2026-11-25','rider','','','round 12 mm journal in an open hook','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,6.0,NULL,NULL,30.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(7,3,7,'2026-11-25','fountain','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(8,3,8,'2026-11-25','ductor','','','round 12 mm journal in a swinging fork','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,31.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(9,3,9,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',48.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(10,3,10,'2026-11-25','ductor','','','round 12 mm journal in a swinging fork','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,24.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(11,3,11,'2026-11-25','pan','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(12,3,12,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',44.6,NULL,NULL,NULL,NULL,NULL,12.0,8.0,NULL,NULL,26.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(13,3,13,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',40.6,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,31.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(14,3,14,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',56.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(15,3,15,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',52.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(16,3,16,'2026-11-25','distributor','','','round 12 mm journal in an open hook','','nitrile rubber','','','',38.4,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,30.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(17,3,17,'2026-11-25','rider','','','round 12 mm journal in an open hook','','nitrile rubber','','','',28.6,NULL,NULL,NULL,NULL,NULL,12.0,6.0,NULL,NULL,30.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(18,3,18,'2026-11-25','fountain','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(19,3,19,'2026-11-25','ductor','','','round 12 mm journal in a swinging fork','','nitrile rubber','','','',36.4,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,31.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(20,3,20,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',48.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(21,3,21,'2026-11-25','ductor','','','round 12 mm journal in a swinging fork','','nitrile rubber','','','',33.0,NULL,NULL,NULL,NULL,NULL,12.0,7.0,NULL,NULL,24.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(22,3,22,'2026-11-25','pan','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(23,3,23,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',44.6,NULL,NULL,NULL,NULL,NULL,12.0,NULL,NULL,NULL,26.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(24,3,24,'2026-11-25','form','','','round 12 mm journal in an open hook','','nitrile rubber','','','',40.6,NULL,NULL,NULL,NULL,NULL,12.0,NULL,NULL,NULL,27.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(25,3,25,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',56.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(26,3,26,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',52.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(27,3,27,'2026-11-25','distributor','','','','','nitrile rubber','','','',38.4,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,30.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(28,3,28,'2026-11-25','rider','','','','','','','','',28.6,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(29,3,29,'2026-11-25','fountain','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(30,3,30,'2026-11-25','ductor','','','round 12 mm journal in a swinging fork','','nitrile rubber','','','',36.4,NULL,NULL,NULL,NULL,NULL,12.0,NULL,NULL,NULL,31.0,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(31,3,31,'2026-11-25','drum','','','round 15 mm journal in a closed bearing','','','','','',48.0,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(32,3,32,'2026-11-25','ductor','','','','','nitrile rubber','','','',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "roller_facts" VALUES(33,3,33,'2026-11-25','pan','','','round 15 mm journal in a closed bearing','','','','','',NULL,NULL,NULL,NULL,NULL,NULL,15.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE rollers (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	code VARCHAR(9) NOT NULL, 
	mark VARCHAR(40) NOT NULL, 
	invented INTEGER NOT NULL, 
	CONSTRAINT pk_rollers PRIMARY KEY (id), 
	CONSTRAINT uq_rollers_code UNIQUE (code), 
	CONSTRAINT uq_rollers_mark UNIQUE (mark), 
	CONSTRAINT fk_rollers_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "rollers" VALUES(1,3,'C07A-EY87','dipper-A-F1',1);
INSERT INTO "rollers" VALUES(2,3,'GX20-RWE1','dipper-A-F2',1);
INSERT INTO "rollers" VALUES(3,3,'QX57-E5XR','dipper-A-D1',1);
INSERT INTO "rollers" VALUES(4,3,'W158-ADWX','dipper-A-D2',1);
INSERT INTO "rollers" VALUES(5,3,'6XQ8-1ADB','dipper-A-S1',1);
INSERT INTO "rollers" VALUES(6,3,'A3RJ-HS4M','dipper-A-R1',1);
INSERT INTO "rollers" VALUES(7,3,'09E1-9MBV','dipper-A-IF',1);
INSERT INTO "rollers" VALUES(8,3,'H5X0-MQMV','dipper-A-DU',1);
INSERT INTO "rollers" VALUES(9,3,'RFY1-TWY5','dipper-A-WO',1);
INSERT INTO "rollers" VALUES(10,3,'1ME2-Y4TD','dipper-A-WD',1);
INSERT INTO "rollers" VALUES(11,3,'A9JT-BS0K','dipper-A-PR',1);
INSERT INTO "rollers" VALUES(12,3,'C4H9-2V3N','dipper-B-F1',1);
INSERT INTO "rollers" VALUES(13,3,'TSQJ-YAF5','dipper-B-F2',1);
INSERT INTO "rollers" VALUES(14,3,'WW31-2M9B','dipper-B-D1',1);
INSERT INTO "rollers" VALUES(15,3,'PTDW-TFY4','dipper-B-D2',1);
INSERT INTO "rollers" VALUES(16,3,'D91Q-9E81','dipper-B-S1',1);
INSERT INTO "rollers" VALUES(17,3,'JF2C-SQM9','dipper-B-R1',1);
INSERT INTO "rollers" VALUES(18,3,'R4PR-R2KS','dipper-B-IF',1);
INSERT INTO "rollers" VALUES(19,3,'GX4F-E9F3','dipper-B-DU',1);
INSERT INTO "rollers" VALUES(20,3,'30SX-YEEY','dipper-B-WO',1);
INSERT INTO "rollers" VALUES(21,3,'F7E3-9S2D','dipper-B-WD',1);
INSERT INTO "rollers" VALUES(22,3,'KVVV-2795','dipper-B-PR',1);
INSERT INTO "rollers" VALUES(23,3,'BAPF-G4JF','dipper-C-F1',1);
INSERT INTO "rollers" VALUES(24,3,'6CHN-549X','dipper-C-F2',1);
INSERT INTO "rollers" VALUES(25,3,'EDGV-M3KD','dipper-C-D1',1);
INSERT INTO "rollers" VALUES(26,3,'0RNS-70YP','dipper-C-D2',1);
INSERT INTO "rollers" VALUES(27,3,'V0N1-VRV4','dipper-C-S1',1);
INSERT INTO "rollers" VALUES(28,3,'FCY4-CWBG','dipper-C-R1',1);
INSERT INTO "rollers" VALUES(29,3,'SK13-KARX','dipper-C-IF',1);
INSERT INTO "rollers" VALUES(30,3,'0AHW-2XQ1','dipper-C-DU',1);
INSERT INTO "rollers" VALUES(31,3,'S5CP-VM6P','dipper-C-WO',1);
INSERT INTO "rollers" VALUES(32,3,'7EFC-QNSH','dipper-C-WD',1);
INSERT INTO "rollers" VALUES(33,3,'NCXG-4P5B','dipper-C-PR',1);
CREATE TABLE runs (
	id INTEGER NOT NULL, 
	began_at VARCHAR(32) NOT NULL, 
	what VARCHAR(80) NOT NULL, 
	version VARCHAR(40) NOT NULL, 
	CONSTRAINT pk_runs PRIMARY KEY (id)
);
INSERT INTO "runs" VALUES(1,'2026-11-25T18:22:43+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(2,'2026-11-25T18:22:43+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(3,'2026-11-25T18:22:44+00:00','roller register','0.1.0');
INSERT INTO "runs" VALUES(4,'2026-11-25T19:21:02+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(5,'2026-11-25T23:49:39+00:00','setup','0.1.0');
CREATE TABLE zones (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	zone INTEGER NOT NULL, 
	coverage FLOAT, 
	"key" FLOAT, 
	CONSTRAINT pk_zones PRIMARY KEY (id), 
	CONSTRAINT uq_zones_job_id UNIQUE (job_id, zone), 
	CONSTRAINT fk_zones_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_zones_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "zones" VALUES(1,1,1,1,0.12,6.0);
INSERT INTO "zones" VALUES(2,1,1,2,0.16,7.0);
INSERT INTO "zones" VALUES(3,1,1,3,0.2,7.5);
INSERT INTO "zones" VALUES(4,1,1,4,0.22,8.0);
INSERT INTO "zones" VALUES(5,1,1,5,0.22,8.0);
INSERT INTO "zones" VALUES(6,1,1,6,0.2,7.5);
INSERT INTO "zones" VALUES(7,1,1,7,0.16,7.0);
INSERT INTO "zones" VALUES(8,1,1,8,0.12,6.0);
INSERT INTO "zones" VALUES(9,4,3,1,0.1,4.0);
INSERT INTO "zones" VALUES(10,4,3,2,0.1,4.0);
INSERT INTO "zones" VALUES(11,4,3,3,0.1,4.0);
INSERT INTO "zones" VALUES(12,4,3,4,0.1,4.0);
INSERT INTO "zones" VALUES(13,4,3,5,0.1,4.0);
INSERT INTO "zones" VALUES(14,4,3,6,0.1,4.0);
INSERT INTO "zones" VALUES(15,4,3,7,0.1,4.0);
INSERT INTO "zones" VALUES(16,4,3,8,0.1,4.0);
CREATE INDEX ix_jobs_run_id ON jobs (run_id);
CREATE INDEX ix_jobs_printed_on ON jobs (printed_on);
CREATE INDEX ix_jobs_press ON jobs (press);
CREATE INDEX ix_zones_job_id ON zones (job_id);
CREATE INDEX ix_readings_job_id ON readings (job_id);
CREATE INDEX ix_roller_facts_roller_id ON roller_facts (roller_id);
CREATE INDEX ix_positions_roller_id ON positions (roller_id);
CREATE INDEX ix_positions_press ON positions (press, unit, place);
CREATE INDEX ix_calibrations_instrument_id ON calibrations (instrument_id);
CREATE INDEX ix_entries_roller_id ON entries (roller_id, day);
CREATE INDEX ix_entries_partner_id ON entries (partner_id, day);
CREATE INDEX ix_entries_press ON entries (press, unit, kind, day);
CREATE INDEX ix_plans_press ON plans (press);
CREATE INDEX ix_plan_zones_plan_id ON plan_zones (plan_id);
COMMIT;
