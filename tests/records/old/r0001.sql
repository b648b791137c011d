BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('r0001');
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
	invented INTEGER NOT NULL, 
	CONSTRAINT pk_jobs PRIMARY KEY (id), 
	CONSTRAINT uq_jobs_code UNIQUE (code), 
	CONSTRAINT fk_jobs_run_id FOREIGN KEY(run_id) REFERENCES runs (id)
);
INSERT INTO "jobs" VALUES(1,1,'PAH8-P6R5','2030-03-04','heron','A','Poster, two 50 % bars','black','coated 135','','',500,60,NULL,4.0,NULL,NULL,1);
INSERT INTO "jobs" VALUES(2,2,'PEE0-EG2R','2030-03-05','dipper','B','Bare; ''quoted'', ½','','','','',NULL,NULL,NULL,NULL,NULL,NULL,0);
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
INSERT INTO "readings" VALUES(1,1,1,100,1,1.42,'E',1,'black');
INSERT INTO "readings" VALUES(2,1,1,NULL,2,1.38,'',NULL,'');
CREATE TABLE runs (
	id INTEGER NOT NULL, 
	began_at VARCHAR(32) NOT NULL, 
	what VARCHAR(80) NOT NULL, 
	version VARCHAR(40) NOT NULL, 
	CONSTRAINT pk_runs PRIMARY KEY (id)
);
INSERT INTO "runs" VALUES(1,'2026-11-25T18:11:33+00:00','job log','0.1.0');
INSERT INTO "runs" VALUES(2,'2026-11-25T18:11:33+00:00','job log','0.1.0');
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
INSERT INTO "zones" VALUES(1,1,1,1,0.1,0.3);
INSERT INTO "zones" VALUES(2,1,1,2,0.2,0.6);
INSERT INTO "zones" VALUES(3,1,1,3,3.00000000000000044408e-01,8.99999999999999911182e-01);
INSERT INTO "zones" VALUES(4,1,1,4,0.4,1.2);
INSERT INTO "zones" VALUES(5,1,1,5,0.5,1.5);
INSERT INTO "zones" VALUES(6,1,1,6,6.00000000000000088817e-01,1.79999999999999982236e+00);
INSERT INTO "zones" VALUES(7,1,1,7,7.00000000000000066613e-01,2.1);
INSERT INTO "zones" VALUES(8,1,1,8,0.8,2.4);
INSERT INTO "zones" VALUES(9,1,1,9,0.9,2.69999999999999973354e+00);
INSERT INTO "zones" VALUES(10,1,1,10,1.0,3.0);
CREATE INDEX ix_jobs_run_id ON jobs (run_id);
CREATE INDEX ix_jobs_printed_on ON jobs (printed_on);
CREATE INDEX ix_jobs_press ON jobs (press);
CREATE INDEX ix_zones_job_id ON zones (job_id);
CREATE INDEX ix_readings_job_id ON readings (job_id);
COMMIT;
