using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>Obeys what was asked of one station over MQTT, or says why not.</summary>
/// <param name="desk">Judges what is asked.</param>
/// <param name="obey">Does what was asked and answers.</param>
/// <param name="record">Keeps what was refused.</param>
/// <param name="messages">How an answer is worded.</param>
/// <param name="history">Tells events once more.</param>
/// <param name="logger">Told what fails.</param>
internal sealed class MqttAnswers(AskDesk desk, Func<Ask, CancellationToken, Task<Answer>> obey, Action<EventBody> record, MqttMessages messages, MqttHistory history, ILogger logger)
{
    /// <summary>Longer than those who obey take to say in their own words why they can not.</summary>
    private static readonly TimeSpan HandlingTime = TimeSpan.FromSeconds(8);

    /// <summary>Answers one message; a note is answered when it is on the disk, and nothing waits for that.</summary>
    public async Task AnswerAsync(MqttFlight flight, MqttApplicationMessage message, CancellationToken lost)
    {
        var judged = desk.Judge(message);
        var answering = AnswerAsync(judged, flight, message, lost);
        if (judged.Ask is not { Verb: "note" })
        {
            await answering;
            return;
        }

        // It waits for the disk, and what comes after it may be a close.
        _ = answering.ContinueWith(
            t => logger.LogWarning("a note that was asked over MQTT could not be answered: {Reason}", t.Exception!.InnerException!.Message),
            CancellationToken.None, TaskContinuationOptions.OnlyOnFaulted, TaskScheduler.Default);
    }

    private async Task AnswerAsync(Judged judged, MqttFlight flight, MqttApplicationMessage message, CancellationToken lost)
    {
        var answer = new Answer(judged.Challenge is not null, judged.Problem ?? judged.Challenge?.Shown ?? "");
        if (judged.Ask is { } ask)
        {
            answer = await ObeyAsync(ask, lost);
            answer = judged.Problem is { } problem ? answer with { Text = $"{answer.Text} ({problem}; ignored)" } : answer;
        }

        foreach (var happened in judged.Events)
        {
            record(happened);
        }

        if (judged.Unheard)
        {
            return;
        }

        if (desk.AnswerTopic(message).Topic is { } topic)
        {
            if (judged.Since is { } since)
            {
                if (history.Begin(since, topic, message.CorrelationData, flight, e => logger.LogWarning("telling events once more broke off: {Reason}", e.Message), lost) is not { } busy)
                {
                    return;
                }

                answer = new Answer(false, busy);
            }

            var verb = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
            await flight.PublishAsync(messages.Answer(topic, message.CorrelationData, verb, answer, judged.Challenge), lost);
        }
    }

    private async Task<Answer> ObeyAsync(Ask ask, CancellationToken lost)
    {
        try
        {
            // Not tied to the connection: a close goes on when the line drops.
            using var enough = new CancellationTokenSource(HandlingTime);
            return await obey(ask, enough.Token).WaitAsync(HandlingTime, lost);
        }
        catch (OperationCanceledException) when (lost.IsCancellationRequested)
        {
            logger.LogWarning("the line to the MQTT broker was lost before {Verb}, asked by {By}, was answered; it is done or refused all the same, and the log tells which", ask.Verb, ask.By);
            return new Answer(false, "");
        }
        catch (Exception e)
        {
            logger.LogError(e, "{Verb} asked over MQTT by {By} failed", ask.Verb, ask.By);
            return new Answer(false, $"failed: {e.Message}");
        }
    }
}
