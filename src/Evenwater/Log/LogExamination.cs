namespace Evenwater.Log;

/// <summary>
/// Goes through a large log once, beside the running stations. When it is damaged the program ends, closed, and leaves word for the next start, which sets the file
/// aside: nothing can be trusted to a file with bad pages, and it can not be changed for another under those who write to it.
/// </summary>
internal sealed class LogExamination(NightLog log, IHostApplicationLifetime life, ILogger<LogExamination> logger) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (new FileInfo(Path.Combine(log.Folder, LogFile.Name)).Length <= DamagedLog.AtOnceBytes)
        {
            return;
        }

        if (await Task.Factory.StartNew(() => DamagedLog.Damage(log.Folder, whole: true), stoppingToken, TaskCreationOptions.LongRunning, TaskScheduler.Default) is { } damage)
        {
            logger.LogCritical("the log is damaged ({Damage}); the program ends, with every valve closed, and its next start sets the file aside", damage);
            if (!DamagedLog.Remember(log.Folder, damage))
            {
                logger.LogCritical("no word of it can be left for the next start, which will find the same again: make room on the disk, or move the log and its -wal file away and keep them");
            }

            Environment.ExitCode = Commands.Exit.Bad;
            life.StopApplication();
        }
    }
}
