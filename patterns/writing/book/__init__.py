"""The job book's sections: everything a job has to say."""
