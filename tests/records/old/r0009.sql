BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('r0009');
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
INSERT INTO "calibrations" VALUES(1,1,1,'2030-01-01',0.7,0.6,'2031-01-01','block',NULL,0);
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
INSERT INTO "entries" VALUES(1,1,'hardness','2030-03-04',1,NULL,'heron','A','','Kim',1,22.5,1,0,'','',NULL,'',NULL,0);
INSERT INTO "entries" VALUES(2,1,'stripe','2030-03-04',1,2,'heron','A','F1/D1','',NULL,NULL,1,0,'','',NULL,'',NULL,0);
INSERT INTO "entries" VALUES(3,1,'grade','2030-03-04',1,NULL,'','','','',NULL,NULL,1,0,'semi-shiny','',NULL,'"quoted", with ½ and
a second line',NULL,0);
INSERT INTO "entries" VALUES(4,1,'wash-up','2030-03-04',NULL,NULL,'heron','A','','',NULL,NULL,1,0,'','=W1, strong',NULL,'',NULL,0);
INSERT INTO "entries" VALUES(5,1,'impressions','2030-03-04',NULL,NULL,'heron','A','','',NULL,NULL,1,0,'','',1250000,'',NULL,0);
INSERT INTO "entries" VALUES(6,1,'hardness','2030-03-04',1,NULL,'heron','A','','Kim',1,22.5,0,1,'','',NULL,'',NULL,0);
INSERT INTO "entries" VALUES(7,4,'adjusted','2030-03-04',1,2,'heron','A','F1/D1','',NULL,NULL,1,0,'','',NULL,'',NULL,0);
INSERT INTO "entries" VALUES(8,5,'wash-up','2030-03-04',NULL,NULL,'heron','A','','',NULL,NULL,1,0,'','',NULL,'',NULL,0);
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
INSERT INTO "instruments" VALUES(1,1,'D1','durometer','Shore A','');
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
INSERT INTO "jobs" VALUES(1,2,'SKN0-SV9B','2030-03-04','heron','A','Poster, two 50 % bars','black','coated 135','','',500,60,NULL,4.0,NULL,1.4,1,'E','white',0,2.0,1.2,320.0,450.0);
INSERT INTO "jobs" VALUES(2,3,'34AG-3B6B','2030-03-04','heron','A','Letterhead','black','coated 135','','',500,60,NULL,4.0,NULL,1.4,1,'E','white',0,2.0,1.2,320.0,450.0);
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
	zero_divisions FLOAT, tightened_deg FLOAT, 
	CONSTRAINT pk_points PRIMARY KEY (id), 
	CONSTRAINT uq_points_entry_id UNIQUE (entry_id, number), 
	CONSTRAINT fk_points_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_points_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id)
);
INSERT INTO "points" VALUES(1,1,1,1,'middle',90.0,27.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(2,1,1,2,'middle',90.0,28.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(3,1,1,3,'middle',90.0,26.5,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(4,1,1,4,'middle',90.0,27.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(5,1,1,5,'middle',90.0,29.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(6,1,2,1,'operator',NULL,NULL,NULL,NULL,3.5,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(7,1,2,2,'middle',NULL,NULL,NULL,NULL,3.6,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(8,1,2,3,'gear',NULL,NULL,NULL,NULL,0.1,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(9,1,6,1,'',NULL,95.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "points" VALUES(10,4,7,1,'operator',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,30.0);
INSERT INTO "points" VALUES(11,4,7,2,'gear',NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,-15.0);
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
INSERT INTO "positions" VALUES(1,1,1,'2030-03-04','press','heron','A','F1','',NULL,0);
INSERT INTO "positions" VALUES(2,1,2,'2030-03-04','press','heron','A','D1','',NULL,0);
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
INSERT INTO "readings" VALUES(1,2,1,100,1,1.42,'E',1,'black');
INSERT INTO "readings" VALUES(2,2,1,NULL,2,1.38,'',NULL,'');
INSERT INTO "readings" VALUES(3,3,2,100,1,1.42,'E',1,'black');
INSERT INTO "readings" VALUES(4,3,2,NULL,2,1.38,'',NULL,'');
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
INSERT INTO "roller_facts" VALUES(1,1,1,'2030-03-04','form','','','','','','','','',54.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'2030-01-05',20);
INSERT INTO "roller_facts" VALUES(2,1,2,'2030-03-04','form','','','','','','','','',54.0,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'2030-01-05',20);
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
INSERT INTO "rollers" VALUES(1,1,'6CE7-DEE6','K1',0);
INSERT INTO "rollers" VALUES(2,1,'CDR2-HX6G','K2',0);
CREATE TABLE round_steps (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	round_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	what VARCHAR(12) NOT NULL, 
	person TEXT NOT NULL, 
	contact VARCHAR(49) NOT NULL, 
	entry_id INTEGER, 
	instrument_id INTEGER, 
	temperature_c FLOAT, 
	PRIMARY KEY (id), 
	CONSTRAINT fk_round_steps_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_round_steps_round_id FOREIGN KEY(round_id) REFERENCES rounds (id), 
	CONSTRAINT fk_round_steps_entry_id FOREIGN KEY(entry_id) REFERENCES entries (id), 
	CONSTRAINT fk_round_steps_instrument_id FOREIGN KEY(instrument_id) REFERENCES instruments (id)
);
INSERT INTO "round_steps" VALUES(1,7,1,'2026-05-04','gate','Invented A','',NULL,NULL,23.0);
INSERT INTO "round_steps" VALUES(2,8,1,'2026-05-04','ended','Invented A','',NULL,NULL,NULL);
CREATE TABLE rounds (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT fk_rounds_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "rounds" VALUES(1,6,'2026-05-04','heron','A');
CREATE TABLE runs (
	id INTEGER NOT NULL, 
	began_at VARCHAR(32) NOT NULL, 
	what VARCHAR(80) NOT NULL, 
	version VARCHAR(40) NOT NULL, 
	CONSTRAINT pk_runs PRIMARY KEY (id)
);
INSERT INTO "runs" VALUES(1,'2026-11-26T12:25:23+00:00','fill','0.1.0');
INSERT INTO "runs" VALUES(2,'2026-11-26T12:25:23+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(3,'2026-11-26T12:25:23+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(4,'2026-11-26T12:25:23+00:00','setting','0.1.0');
INSERT INTO "runs" VALUES(5,'2026-11-26T12:25:23+00:00','reading add','0.1.0');
INSERT INTO "runs" VALUES(6,'2026-11-26T17:03:08+00:00','round begin','0.1.0');
INSERT INTO "runs" VALUES(7,'2026-11-26T17:03:09+00:00','round gate','0.1.0');
INSERT INTO "runs" VALUES(8,'2026-11-26T17:03:09+00:00','round end','0.1.0');
INSERT INTO "runs" VALUES(9,'2026-11-26T19:21:53+00:00','job undo','0.1.0');
INSERT INTO "runs" VALUES(10,'2026-11-26T20:31:54+00:00','test','0.1.0');
INSERT INTO "runs" VALUES(11,'2026-11-26T20:31:54+00:00','test','0.1.0');
CREATE TABLE solution_bands (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	since VARCHAR(10) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	product TEXT NOT NULL, 
	ph_low FLOAT, 
	ph_high FLOAT, 
	low_c FLOAT, 
	high_c FLOAT, 
	person TEXT NOT NULL, 
	note TEXT NOT NULL, 
	replaces_id INTEGER, 
	strikes INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_solution_bands_replaces_id UNIQUE (replaces_id), 
	CONSTRAINT fk_solution_bands_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_solution_bands_replaces_id FOREIGN KEY(replaces_id) REFERENCES solution_bands (id)
);
INSERT INTO "solution_bands" VALUES(1,10,'2026-05-04','heron','Invented 3',4.0,4.4,NULL,NULL,'Invented C','',NULL,0);
CREATE TABLE solution_samples (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	press VARCHAR(24) NOT NULL, 
	unit VARCHAR(24) NOT NULL, 
	taken_from VARCHAR(8) NOT NULL, 
	fresh INTEGER NOT NULL, 
	titration INTEGER NOT NULL, 
	conductivity_us_per_cm FLOAT, 
	ph FLOAT, 
	temperature_c FLOAT, 
	alcohol_percent FLOAT, 
	dose_percent FLOAT, 
	hardness_dh FLOAT, 
	person TEXT NOT NULL, 
	note TEXT NOT NULL, 
	replaces_id INTEGER, 
	strikes INTEGER NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_solution_samples_replaces_id UNIQUE (replaces_id), 
	CONSTRAINT fk_solution_samples_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_solution_samples_replaces_id FOREIGN KEY(replaces_id) REFERENCES solution_samples (id)
);
INSERT INTO "solution_samples" VALUES(1,10,'2026-05-04','heron','A','pan',0,0,1450.0,5.1,14.0,0.0,3.0,9.0,'Invented C','after the break',NULL,0);
INSERT INTO "solution_samples" VALUES(2,10,'2026-05-04','heron','','tank',1,0,NULL,4.9,NULL,NULL,NULL,NULL,'','',NULL,0);
INSERT INTO "solution_samples" VALUES(3,11,'2026-05-05','heron','A','pan',0,0,NULL,NULL,NULL,NULL,NULL,NULL,'Invented D','wrong pan',1,1);
CREATE TABLE struck_jobs (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	job_id INTEGER NOT NULL, 
	day VARCHAR(10) NOT NULL, 
	person TEXT NOT NULL, 
	reason TEXT NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_struck_jobs_job_id UNIQUE (job_id), 
	CONSTRAINT fk_struck_jobs_run_id FOREIGN KEY(run_id) REFERENCES runs (id), 
	CONSTRAINT fk_struck_jobs_job_id FOREIGN KEY(job_id) REFERENCES jobs (id)
);
INSERT INTO "struck_jobs" VALUES(1,9,1,'2026-11-26','Invented C','wrong press');
CREATE TABLE submits (
	id INTEGER NOT NULL, 
	run_id INTEGER NOT NULL, 
	"key" VARCHAR(64) NOT NULL, 
	digest VARCHAR(64) NOT NULL, 
	PRIMARY KEY (id), 
	CONSTRAINT uq_submits_key UNIQUE ("key"), 
	CONSTRAINT fk_submits_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "submits" VALUES(1,5,'tablet-1','476994559e873a621c524b49c195ad4d14876ac168022ae43c0b3fe2868d82ef');
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
INSERT INTO "zones" VALUES(1,2,1,1,0.1,0.3);
INSERT INTO "zones" VALUES(2,2,1,2,0.2,0.6);
INSERT INTO "zones" VALUES(3,2,1,3,3.00000000000000044408e-01,8.99999999999999911182e-01);
INSERT INTO "zones" VALUES(4,2,1,4,0.4,1.2);
INSERT INTO "zones" VALUES(5,2,1,5,0.5,1.5);
INSERT INTO "zones" VALUES(6,2,1,6,6.00000000000000088817e-01,1.79999999999999982236e+00);
INSERT INTO "zones" VALUES(7,2,1,7,7.00000000000000066613e-01,2.1);
INSERT INTO "zones" VALUES(8,2,1,8,0.8,2.4);
INSERT INTO "zones" VALUES(9,2,1,9,0.9,2.69999999999999973354e+00);
INSERT INTO "zones" VALUES(10,2,1,10,1.0,3.0);
INSERT INTO "zones" VALUES(11,3,2,1,0.1,0.3);
INSERT INTO "zones" VALUES(12,3,2,2,0.2,0.6);
INSERT INTO "zones" VALUES(13,3,2,3,3.00000000000000044408e-01,8.99999999999999911182e-01);
INSERT INTO "zones" VALUES(14,3,2,4,0.4,1.2);
INSERT INTO "zones" VALUES(15,3,2,5,0.5,1.5);
INSERT INTO "zones" VALUES(16,3,2,6,6.00000000000000088817e-01,1.79999999999999982236e+00);
INSERT INTO "zones" VALUES(17,3,2,7,7.00000000000000066613e-01,2.1);
INSERT INTO "zones" VALUES(18,3,2,8,0.8,2.4);
INSERT INTO "zones" VALUES(19,3,2,9,0.9,2.69999999999999973354e+00);
INSERT INTO "zones" VALUES(20,3,2,10,1.0,3.0);
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
CREATE INDEX ix_rounds_press ON rounds (press);
CREATE INDEX ix_round_steps_round_id ON round_steps (round_id);
CREATE INDEX ix_solution_samples_press ON solution_samples (press);
CREATE INDEX ix_solution_bands_press ON solution_bands (press);
COMMIT;
